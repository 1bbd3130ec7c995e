/** Draw a mark of a finding on its board; the box of places follows, and the other way round. */

import { Board } from "./board.js";
import { readNumber } from "./typed_number.js";

const MM_PER_INCH = 25.4;
const MOST = { point: 1, line: 200, area: 200 };

/** A place in the board's own terms as it is typed: millimetres, inches and 32nds, or per cent. */
export function written(value, unit) {
  if (unit === "percent") return String(Number(value.toFixed(2)));
  if (unit !== "inch") return String(Math.round(value));
  const marks = Math.round((Math.abs(value) / MM_PER_INCH) * 32);
  if (!marks) return "0";
  const [whole, rest] = [Math.floor(marks / 32), marks % 32];
  const halves = rest & -rest || 1;
  const part = rest ? `${rest / halves}/${32 / halves}` : "";
  return `${value < 0 ? "-" : ""}${[whole || "", part].filter(Boolean).join(" ")}"`;
}

/** A typed number in the board's own terms; NaN for what only the server can read. */
export function read(text, unit) {
  const found = /^(-?)\s*(?:(\d+(?:[.,]\d+)?))?(?:\s*(\d+)\/(\d+))?\s*(mm|"|%)?$/.exec(text.trim());
  if (!found || (!found[2] && !found[3])) return NaN;
  const [, sign, whole, over, under, given] = found;
  const number = readNumber(whole ?? "0") + (over ? Number(over) / Number(under) : 0);
  const inches = given === '"' || (unit === "inch" && given !== "mm");
  return (sign ? -1 : 1) * number * (unit !== "percent" && inches ? MM_PER_INCH : 1);
}

export class MarkPage {
  constructor(board, form) {
    this.axes = Object.fromEntries(["originX", "originY", "perX", "perY"].map((name) => [name, Number(board.dataset[name])]));
    this.unit = board.dataset.in;
    this.form = form;
    this.box = form.elements.places;
    this.board = new Board(board, { changed: (points) => this.write(points) });
    this.box.addEventListener("input", () => this.read());
    form.addEventListener("change", (event) => event.target.name === "stroke" && this.choose());
    board.querySelector("[data-how]").hidden = false;
    this.board.offerTools();
    this.choose();
  }

  choose() {
    this.board.stroke = this.form.elements.stroke.value || "area";
    this.board.most = MOST[this.board.stroke];
    this.read();
  }

  write(points) {
    const { originX, originY, perX, perY } = this.axes;
    this.box.value = points
      .map(({ x, y }) => [(x - originX) * perX, (y - originY) * perY].map((value) => written(value, this.unit)).join(", "))
      .join("\n");
  }

  read() {
    const { originX, originY, perX, perY } = this.axes;
    const points = this.box.value
      .split(/[;\n]+/)
      .map((line) => line.trim().split(/,\s+|,(?!.*,)/).map((part) => read(part, this.unit)))
      .filter((pair) => pair.length === 2 && pair.every(Number.isFinite))
      .map(([x, y]) => ({ x: x / perX + originX, y: y / perY + originY }));
    this.board.set(points);
  }
}

if (typeof document !== "undefined") {
  const board = document.querySelector("[data-board]");
  const form = document.querySelector(".mark-form");
  if (board && form) new MarkPage(board, form);
}
