/** Points placed on a drawing or a photograph: by tap, by drag, by the arrow keys, under a glass. */

const SVG = "http://www.w3.org/2000/svg";
const ARROWS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
// Pixels of the screen: how large a point is to a finger, how far an arrow goes, what is no drag.
const [HIT, DOT, ARROW, FINE, STILL] = [22, 7, 4, 0.5, 4];
// How many times the glass enlarges what the screen shows, and how much of it, in screen pixels.
const [ENLARGED, GLASS] = [4, 160];

function made(name, attributes = {}) {
  const part = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) part.setAttribute(key, value);
  return part;
}

export class Board {
  /**
   * `changed` is told whenever a point came, went or moved; `most` points at most, the first
   * `outlined` of them joined. With `names` the points are certain ones, and none is taken out.
   */
  constructor(board, { changed, most = 200, outlined = Infinity, names = [] }) {
    Object.assign(this, { board, changed, most, outlined, names, points: [], stroke: "area" });
    this.svg = board.querySelector(".mark-surface svg");
    this.glass = board.querySelector("[data-magnifier]");
    this.under = this.svg.appendChild(made("path", { class: "board-under" }));
    this.shape = this.svg.appendChild(made("path", { class: "board-shape" }));
    this.handles = this.svg.appendChild(made("g"));
    board.toggleAttribute("data-live", true);
    this.svg.addEventListener("pointerdown", (event) => this.take(event));
    this.svg.addEventListener("pointermove", (event) => this.drag(event));
    this.svg.addEventListener("pointerup", () => this.release());
    this.svg.addEventListener("pointercancel", () => this.release());
    this.svg.addEventListener("click", (event) => this.tap(event));
    this.svg.addEventListener("keydown", (event) => this.press(event));
    this.svg.addEventListener("focusin", (event) => this.look(event.target.closest(".board-handle")));
    this.svg.addEventListener("focusout", () => this.lookAway());
    addEventListener("resize", () => this.draw());
  }

  get box() {
    const [left, top, width, height] = this.svg.getAttribute("viewBox").split(" ").map(Number);
    return { left, top, width, height };
  }

  /** Units of the drawing to a pixel of the screen. */
  get unit() {
    return 1 / (this.svg.getScreenCTM()?.a || 1);
  }

  at(event) {
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(
      this.svg.getScreenCTM().inverse(),
    );
    return this.within({ x, y });
  }

  within({ x, y }) {
    const { left, top, width, height } = this.box;
    return { x: Math.min(Math.max(x, left), left + width), y: Math.min(Math.max(y, top), top + height) };
  }

  set(points) {
    this.points = points;
    this.draw();
  }

  /** A new point, after the last; where there is room for one alone, it takes its place. */
  add(point) {
    if (this.most === 1) this.points = [];
    if (this.points.length >= this.most) return;
    this.points.push(point);
    this.draw();
    this.changed(this.points);
  }

  addInTheMiddle() {
    const { left, top, width, height } = this.box;
    this.add({ x: left + width / 2, y: top + height / 2 });
    this.handles.lastElementChild?.focus();
  }

  takeBack() {
    this.set(this.points.slice(0, -1));
    this.changed(this.points);
  }

  clear() {
    this.set([]);
    this.changed(this.points);
  }

  tap(event) {
    if (this.dragged || event.target.closest(".board-handle")) {
      this.dragged = false;
      return;
    }
    event.preventDefault();
    this.add(this.at(event));
    this.handles.lastElementChild?.focus({ preventScroll: true });
  }

  take(event) {
    this.dragged = false;
    const handle = event.target.closest(".board-handle");
    if (!handle || event.button > 0) return;
    event.preventDefault();
    const n = Number(handle.dataset.n);
    this.held = { n, from: this.at(event), start: this.points[n], x: event.clientX, y: event.clientY };
    this.svg.setPointerCapture(event.pointerId);
    handle.focus({ preventScroll: true });
    handle.toggleAttribute("data-held", true);
  }

  drag(event) {
    if (!this.held) return;
    const { n, from, start, x, y } = this.held;
    if (!this.dragged && Math.hypot(event.clientX - x, event.clientY - y) < STILL) return;
    this.dragged = true;
    const to = this.at(event);
    this.move(n, { x: start.x + to.x - from.x, y: start.y + to.y - from.y });
  }

  release() {
    if (!this.held) return;
    this.handles.children[this.held.n]?.removeAttribute("data-held");
    this.held = null;
  }

  press(event) {
    const handle = event.target.closest(".board-handle");
    if (!handle || event.altKey || event.ctrlKey || event.metaKey) return;
    const n = Number(handle.dataset.n);
    if (!this.names.length && (event.key === "Delete" || event.key === "Backspace")) {
      event.preventDefault();
      this.points.splice(n, 1);
      this.draw();
      this.changed(this.points);
      return;
    }
    const way = ARROWS[event.key];
    if (!way) return;
    event.preventDefault();
    const step = (event.shiftKey ? FINE : ARROW) * this.unit;
    this.move(n, { x: this.points[n].x + way[0] * step, y: this.points[n].y + way[1] * step });
  }

  move(n, point) {
    this.points[n] = this.within(point);
    this.place(this.handles.children[n], this.points[n]);
    this.outline();
    this.look(this.handles.children[n]);
    this.changed(this.points);
  }

  draw() {
    const kept = document.activeElement?.closest?.(".board-handle")?.dataset.n;
    this.handles.replaceChildren(...this.points.map((point, n) => this.handle(point, n)));
    this.outline();
    if (kept !== undefined) this.handles.children[kept]?.focus({ preventScroll: true });
  }

  handle(point, n) {
    const unit = this.unit;
    const name = this.names[n] ?? `${n + 1}`;
    const handle = made("g", { class: "board-handle", tabindex: "0", role: "button", "data-n": n, "aria-label": name });
    for (const [part, r] of [["hit", HIT], ["under", DOT], ["dot", DOT]]) {
      handle.append(made("circle", { class: `board-${part}`, r: r * unit }));
    }
    const number = made("text", { class: "board-number", y: -DOT * 1.7 * unit, "font-size": 13 * unit });
    number.textContent = n + 1;
    handle.append(number);
    this.place(handle, point);
    return handle;
  }

  place(handle, { x, y }) {
    handle?.setAttribute("transform", `translate(${x.toFixed(3)} ${y.toFixed(3)})`);
  }

  outline() {
    const joined = this.points.slice(0, this.outlined);
    const d = joined.map(({ x, y }, n) => `${n ? "L" : "M"}${x.toFixed(2)} ${y.toFixed(2)}`).join("");
    const whole = this.stroke === "area" && joined.length > 2 ? `${d}Z` : d;
    for (const path of [this.under, this.shape]) path.setAttribute("d", whole);
    this.shape.dataset.stroke = this.stroke;
  }

  /** Show the tools under the board, which without a script could do nothing. */
  offerTools() {
    const tools = this.board.querySelector("[data-tools]");
    const acts = { middle: "addInTheMiddle", back: "takeBack", clear: "clear", larger: "larger" };
    tools.hidden = false;
    tools.addEventListener("click", (event) => {
      const tool = event.target.closest("[data-tool]");
      if (tool) this[acts[tool.dataset.tool]](tool);
    });
  }

  /** Larger than the page, scrolled in its own frame; the points stay as large as a finger. */
  larger(tool) {
    tool.setAttribute("aria-pressed", String(this.board.toggleAttribute("data-larger")));
    this.draw();
  }

  /** Show what lies about a point enlarged, in the corner it is not in. */
  look(handle) {
    const point = handle && this.points[Number(handle.dataset.n)];
    if (!point || !this.glass) return;
    const { left, width } = this.box;
    const side = (GLASS * this.unit) / ENLARGED;
    const glass = made("svg", { viewBox: `${point.x - side / 2} ${point.y - side / 2} ${side} ${side}`, "aria-hidden": "true" });
    // A picture alone is copied; a drawing as a whole.
    const picture = this.svg.querySelector("image");
    const parts = picture ? [picture] : [...this.svg.children].filter((part) => ![this.handles, this.shape, this.under].includes(part));
    glass.append(...parts.map((part) => part.cloneNode(true)));
    const { x, y } = point;
    const d = `M${x - side / 2} ${y}H${x + side / 2}M${x} ${y - side / 2}V${y + side / 2}`;
    glass.append(made("path", { class: "magnifier-cross", d }));
    this.glass.replaceChildren(glass);
    this.glass.dataset.side = x < left + width / 2 ? "right" : "left";
    this.glass.hidden = false;
  }

  lookAway() {
    if (this.glass && !this.held) this.glass.hidden = true;
  }
}
