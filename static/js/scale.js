/** Place the known points of a photograph by tap; the boxes in numbers follow. */

import { Board } from "./board.js";
import { readNumber } from "./typed_number.js";

const CORNERS = 4;
const PER_CENT = 100;

export class ScalePage {
  constructor(board, form) {
    this.form = form;
    this.size = { x: Number(board.dataset.width), y: Number(board.dataset.height) };
    this.rows = [...form.querySelectorAll("[data-row]")];
    this.how = board.querySelector("[data-how]");
    this.board = new Board(board, {
      changed: (points) => this.write(points),
      most: this.rows.length,
      outlined: CORNERS,
      names: this.rows.map((row) => row.dataset.name),
    });
    form.addEventListener("input", (event) => /^[uv]_/.test(event.target.name) && this.read());
    this.board.offerTools();
    this.read();
  }

  boxes(n) {
    return ["u", "v"].map((name) => this.form.elements[`${name}_${n + 1}`]);
  }

  write(points) {
    this.rows.forEach((row, n) => {
      const [across, down] = this.boxes(n);
      const point = points[n];
      across.value = point ? ((point.x / this.size.x) * PER_CENT).toFixed(4) : "";
      down.value = point ? ((point.y / this.size.y) * PER_CENT).toFixed(4) : "";
    });
    this.tell();
  }

  read() {
    const points = [];
    for (let n = 0; n < this.rows.length; n += 1) {
      const [x, y] = this.boxes(n).map((box) => readNumber(box.value));
      if (!Number.isFinite(x) || !Number.isFinite(y)) break;
      points.push({ x: (x / PER_CENT) * this.size.x, y: (y / PER_CENT) * this.size.y });
    }
    this.board.set(points);
    this.tell();
  }

  /** Say which corner is tapped next. */
  tell() {
    const { length } = this.board.points;
    const { next, full } = this.how.dataset;
    this.how.hidden = false;
    this.how.textContent = length < CORNERS ? `${next} ${this.rows[length].dataset.name}` : full;
  }
}

if (typeof document !== "undefined") {
  const board = document.querySelector("[data-scale]");
  if (board) new ScalePage(board, board.closest("form"));
}
