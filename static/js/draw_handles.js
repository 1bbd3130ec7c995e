/** Take hold of a bar, a tracery light or a plaque on the drawing, and move it; its boxes follow. */

const MM_PER_INCH = 25.4;
// How far one press of an arrow moves, with Shift, and what a drag rounds to: in millimetres.
const STEPS = {
  metric: { arrow: 10, fine: 1, drag: 5, mark: 1 },
  inch: { arrow: MM_PER_INCH / 2, fine: MM_PER_INCH / 16, drag: MM_PER_INCH / 4, mark: MM_PER_INCH / 16 },
};
// Nearer than this to where it is drawn, in units of the drawing, nothing needs to be shifted.
const AS_DRAWN = 0.02;
const ARROWS = { ArrowUp: [0, 1], ArrowDown: [0, -1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };

/** A length as its box holds it: whole millimetres, or inches and 16ths. */
export function written(mm, units) {
  if (units !== "inch") return String(Math.round(mm));
  const marks = Math.round((Math.abs(mm) / MM_PER_INCH) * 16);
  const [whole, rest] = [Math.floor(marks / 16), marks % 16];
  if (!marks) return "0";
  const halves = rest & -rest || 1;
  const part = rest ? `${rest / halves}/${16 / halves}` : "";
  return `${mm < 0 ? "-" : ""}${[whole || "", part].filter(Boolean).join(" ")}"`;
}

/** `mm` at the nearest mark of a rule. */
export function rounded(mm, step) {
  return Math.round(mm / step) * step;
}

export class Handles {
  constructor(board, form, preview) {
    Object.assign(this, { board, form, preview });
    this.units = form.dataset.units;
    this.step = STEPS[this.units] ?? STEPS.metric;
    board.addEventListener("pointerdown", (event) => this.take(event));
    board.addEventListener("pointermove", (event) => this.drag(event));
    for (const name of ["pointerup", "pointercancel"]) board.addEventListener(name, () => this.release());
    board.addEventListener("keydown", (event) => this.press(event));
  }

  get surface() {
    return this.board.querySelector(".draw-surface");
  }

  get mmPerUnit() {
    return Number(this.surface.dataset.mmPerUnit);
  }

  of(row) {
    return this.board.querySelector(`.draw-handle[data-row="${row}"]`);
  }

  /** Where on the opening the pointer is, in millimetres. */
  at(event) {
    const svg = this.surface.querySelector("svg");
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return { x: point.x * this.mmPerUnit, y: -point.y * this.mmPerUnit };
  }

  /** Under a thumb there may be several bars: the nearest is meant. */
  nearest(event) {
    const under = document.elementsFromPoint(event.clientX, event.clientY);
    const found = [...new Set(under.map((part) => part.closest(".draw-handle")).filter(Boolean))];
    if (found[0]?.dataset.kind !== "bar") return found[0];
    const { y } = this.at(event);
    const away = (handle) => Math.abs(Number(handle.dataset.y) - y);
    const bars = found.filter((handle) => handle.dataset.kind === "bar");
    return bars.sort((one, other) => away(one) - away(other))[0];
  }

  take(event) {
    const handle = this.board.hasAttribute("data-placing") ? null : this.nearest(event);
    if (!handle || event.button > 0) return;
    event.preventDefault();
    const { row, x, y } = handle.dataset;
    this.held = { row, from: this.at(event), start: { x: Number(x), y: Number(y) } };
    this.board.setPointerCapture(event.pointerId);
    handle.focus({ preventScroll: true });
    handle.toggleAttribute("data-held", true);
  }

  drag(event) {
    if (!this.held) return;
    const { from, start, row } = this.held;
    const at = this.at(event);
    const place = {
      x: rounded(start.x + at.x - from.x, this.step.drag),
      y: rounded(start.y + at.y - from.y, this.step.drag),
    };
    if (Math.abs(at.x - from.x) + Math.abs(at.y - from.y) > this.mmPerUnit * 2) this.move(row, place);
  }

  release() {
    if (!this.held) return;
    this.of(this.held.row)?.removeAttribute("data-held");
    const { moved } = this.held;
    this.held = null;
    if (moved) this.preview.now();
  }

  press(event) {
    const handle = event.target.closest(".draw-handle");
    const way = ARROWS[event.key];
    if (!handle || !way || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const step = event.shiftKey ? this.step.fine : this.step.arrow;
    const place = {
      x: Number(handle.dataset.atX ?? handle.dataset.x) + way[0] * step,
      y: Number(handle.dataset.atY ?? handle.dataset.y) + way[1] * step,
    };
    this.move(handle.dataset.row, place);
  }

  /** Fill the boxes of a row with its new place, and show it there at once. */
  move(row, place) {
    const handle = this.of(row);
    if (!handle) return;
    const bar = handle.dataset.moves === "y";
    if (bar) {
      const most = Number(handle.getAttribute("aria-valuemax"));
      place.x = Number(handle.dataset.x);
      place.y = Math.min(Math.max(place.y, this.step.mark), most - this.step.mark);
      this.fill(`${row}-height`, place.y);
      handle.setAttribute("aria-valuenow", place.y.toFixed(2));
      handle.setAttribute("aria-valuetext", written(place.y, this.units));
    } else {
      this.fill(`${row}-x`, place.x);
      this.fill(`${row}-y`, place.y);
    }
    this.last = { row, place };
    if (this.held) this.held.moved = true;
    this.show(handle, place);
    this.preview.keepUp();
  }

  fill(name, mm) {
    const box = this.form.elements[name];
    if (box) box.value = written(mm, this.units);
  }

  show(handle, { x, y }) {
    Object.assign(handle.dataset, { atX: x, atY: y });
    const across = (x - Number(handle.dataset.x)) / this.mmPerUnit;
    const up = (Number(handle.dataset.y) - y) / this.mmPerUnit;
    if (Math.hypot(across, up) < AS_DRAWN) handle.removeAttribute("transform");
    else handle.setAttribute("transform", `translate(${across.toFixed(2)} ${up.toFixed(2)})`);
  }

  /** After a new drawing came: what was moved since it was asked for stays where it is now. */
  reapply() {
    if (!this.last) return;
    const { row, place } = this.last;
    const handle = this.of(row);
    const [name, mm] = handle?.dataset.moves === "y" ? [`${row}-height`, place.y] : [`${row}-x`, place.x];
    if (!handle || this.form.elements[name]?.value !== written(mm, this.units)) return;
    handle.toggleAttribute("data-held", Boolean(this.held));
    this.show(handle, place);
  }
}
