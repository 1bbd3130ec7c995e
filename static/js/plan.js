/** Trace a plan over a picture: every tap writes into the lines of the form, which stay the plan. */

import { hasTwoReadings, readNumber } from "./typed_number.js";

const COLUMNS = ["name", "start", "direction", "length", "rise", "openings"];
/** Until one wall's length is known a pixel counts as this many millimetres. */
const UNSCALED = 10;
/** A tap as near as this to a corner means the corner. */
const SNAP_PX = 12;

/** Compass degrees and mm of the way from one place to another, x to the east and y to the north. */
export function way([x1, y1], [x2, y2]) {
  const degrees = (Math.atan2(x2 - x1, y2 - y1) * 180) / Math.PI;
  return { direction: ((degrees + 360) % 360).toFixed(2), length: Math.hypot(x2 - x1, y2 - y1) };
}

/** The wall whose line passes nearest to a place, and how far along it that is. */
export function nearest(lines, [x, y]) {
  let best = null;
  for (const [row, points] of lines) {
    let before = 0;
    for (let n = 1; n < points.length; n += 1) {
      const [[ax, ay], [bx, by]] = [points[n - 1], points[n]];
      const long = Math.hypot(bx - ax, by - ay);
      const share = Math.max(0, Math.min(1, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long ** 2));
      const off = Math.hypot(x - ax - share * (bx - ax), y - ay - share * (by - ay));
      if (!best || off < best.off) best = { row, off, along: before + share * long };
      before += long;
    }
  }
  return best;
}

/** The corner that a tap meant: one that is there, if it is within reach, else the place tapped. */
export function snapped(lines, at, reach) {
  const ends = lines.flatMap(([, points]) => [points[0], points.at(-1)]);
  return ends.find((end) => way(end, at).length <= reach) ?? at;
}

/** The straight length of a line of points. */
export function chord(points) {
  return way(points[0], points.at(-1)).length;
}

const inMm = (mm) => `${mm.toFixed(0)} mm`;
const place = ([x, y]) => `${inMm(x)}; ${inMm(y)}`;

/** A length, or two of them, as this script or the server wrote it, made longer by a factor. */
export function stretched(text, factor) {
  return text.replace(/-?\d+(\.\d+)?(?= mm)/g, (mm) => (Number(mm) * factor).toFixed(0));
}

/** The lines that lie on a picture so many mm wide and high, its upper left corner at 0; 0. */
export function onPicture(lines, width, height) {
  const lies = ([x, y]) => x >= 0 && x <= width && y <= 0 && -y <= height;
  return lines.filter(([, points]) => points.every(lies)).map(([row]) => row);
}

class Trace {
  constructor(part, form) {
    this.part = part;
    this.form = form;
    this.tools = part.querySelector("fieldset");
    this.picture = part.querySelector(".plan-picture");
    this.said = part.querySelector("[role=status]");
    this.start = null;
    /** What each tap changed, so that it can be undone. */
    this.taps = [];
    /** Counts the changes made here; an answer to an older one is not read. */
    this.changes = 0;
    this.tools.disabled = false;
    this.readLines();
    this.traced = new Set(this.tracedBefore());
    this.undoing = part.querySelector("[data-undo]");
    this.undoing.addEventListener("click", () => this.undo());
    this.picture.addEventListener("click", (event) => this.tap(event));
    document.getElementById("trace-tools").addEventListener("submit", (event) => {
      event.preventDefault();
      this.setScale();
    });
    const asked = new WeakMap();
    document.addEventListener("htmx:beforeRequest", ({ detail }) => asked.set(detail.xhr, this.changes));
    document.addEventListener("htmx:afterSettle", ({ detail }) => {
      if (asked.get(detail.xhr) === this.changes) this.readLines();
    });
  }

  get scale() {
    return Number(this.form.elements.mm_per_px.value) || UNSCALED;
  }

  tool(name) {
    return this.tools.querySelector(`[name=${name}]:checked, select[name=${name}], input[name=${name}]:not([type=radio])`);
  }

  /** The plan as the server last read it. */
  readLines() {
    this.lines = JSON.parse(document.querySelector("[data-plan-lines]")?.dataset.planLines || "[]");
    this.draw();
  }

  /** Lines traced and sent before: they lie on the picture, their lengths as a tap writes them. */
  tracedBefore() {
    const { width, height } = this.part.dataset;
    return onPicture(this.lines, width * this.scale, height * this.scale).filter((row) =>
      /^\d+ mm$/.test(this.box(row, "length").value.trim()));
  }

  draw() {
    const group = this.picture.querySelector("g");
    const shapes = this.lines.map(([, points]) => {
      const line = document.createElementNS(group.namespaceURI, "polyline");
      line.setAttribute("points", points.map(([x, y]) => `${x / this.scale},${-y / this.scale}`).join(" "));
      return line;
    });
    if (this.start) {
      const dot = document.createElementNS(group.namespaceURI, "circle");
      dot.setAttribute("cx", this.start[0] / this.scale);
      dot.setAttribute("cy", -this.start[1] / this.scale);
      dot.setAttribute("r", this.part.dataset.width / 120);
      shapes.push(dot);
    }
    group.replaceChildren(...shapes);
  }

  tap(event) {
    const box = this.picture.querySelector("svg").getBoundingClientRect();
    const px = this.part.dataset.width / box.width;
    const at = [(event.clientX - box.left) * px * this.scale, -(event.clientY - box.top) * px * this.scale];
    const what = this.tool("tap").value;
    if (what === "opening") this.placeOpening(at);
    else {
      const corner = snapped(this.lines, at, SNAP_PX * px * this.scale);
      if (what === "start" || (!this.start && !this.lines.length)) this.begin(corner);
      else this.addWall(corner);
    }
  }

  begin(at) {
    this.remember();
    this.start = at;
    this.tools.querySelector("[value=corner]").checked = true;
    this.tell(this.part.dataset.saidStart);
    this.draw();
  }

  addWall(to) {
    const from = this.start ?? this.lines.at(-1)[1].at(-1);
    const { direction, length } = way(from, to);
    if (length < this.scale) return null;
    const row = this.freeRow();
    if (row === null) return this.tell(this.part.dataset.saidFull);
    this.remember();
    const begins = this.start ? place(from) : "";
    this.write(row, { start: begins, direction, length: inMm(length) });
    this.traced.add(row);
    this.lines.push([row, [from, to]]);
    this.start = null;
    this.wrote(row);
    return this.follow();
  }

  placeOpening(at) {
    const list = this.tool("opening");
    const found = nearest(this.lines, at);
    if (!list.value || !found) return this.tell(this.part.dataset.saidNone);
    const there = this.box(found.row, "openings").value.trim();
    const said = `${list.value} at ${inMm(Math.max(1, Math.floor(found.along)))}`;
    const [option] = list.selectedOptions;
    this.remember(option);
    this.write(found.row, { openings: there ? `${there}, ${said}` : said });
    option.remove();
    this.wrote(found.row);
    return this.follow();
  }

  /** One wall's length is known: what was traced, and the picture with it, grows to fit. */
  setScale() {
    const wall = Number(this.tool("known_wall").value) - 1;
    const typed = this.tool("known_length").value;
    if (hasTwoReadings(typed)) return this.tell(this.part.dataset.saidTwoReadings);
    const metres = readNumber(typed);
    const line = this.lines.find(([row]) => row === wall);
    if (!line || !(metres > 0)) return this.tell(this.part.dataset.saidScale);
    const factor = (metres * 1000) / chord(line[1]);
    this.remember();
    for (const row of this.traced) {
      for (const column of ["start", "length", "openings"]) {
        this.write(row, { [column]: stretched(this.box(row, column).value, factor) });
      }
    }
    const { elements } = this.form;
    this.put(elements.mm_per_px, (this.scale * factor).toFixed(6));
    this.put(elements.left_mm, "0");
    this.put(elements.top_mm, "0");
    if (this.traced.has(wall)) this.write(wall, { length: inMm(metres * 1000) });
    const tracedRows = this.lines.filter(([row]) => this.traced.has(row));
    for (const [, points] of tracedRows) points.forEach((at) => at.forEach((mm, n) => { at[n] = mm * factor; }));
    if (this.start) this.start = this.start.map((mm) => mm * factor);
    this.tell(this.part.dataset.saidScaled);
    return this.follow();
  }

  /** Before a change: what there was, besides the boxes, which `put` adds. */
  remember(option = null) {
    this.taps.push({
      boxes: [],
      option,
      lines: structuredClone(this.lines),
      start: this.start,
      traced: new Set(this.traced),
    });
    this.undoing.disabled = false;
  }

  /** Take back the last tap, or the setting of the scale. */
  undo() {
    const last = this.taps.pop();
    if (!last) return;
    for (const [box, value] of last.boxes.reverse()) box.value = value;
    Object.assign(this, { lines: last.lines, start: last.start, traced: last.traced });
    if (last.option) {
      this.tool("opening").prepend(last.option);
      last.option.selected = true;
    }
    this.undoing.disabled = !this.taps.length;
    this.tell(this.part.dataset.saidUndone);
    this.follow();
  }

  follow() {
    this.changes += 1;
    this.draw();
    this.form.dispatchEvent(new Event("plan-traced"));
  }

  /** Say where a tap was written, and that lengths are not yet true while no scale is set. */
  wrote(row) {
    const { saidWall, saidUnscaled } = this.part.dataset;
    const scaled = Number(this.form.elements.mm_per_px.value) > 0;
    this.tell([saidWall.replace("%s", row + 1), scaled ? "" : saidUnscaled].join(" ").trim());
  }

  tell(words) {
    this.said.textContent = words;
  }

  box(row, column) {
    return document.getElementById(`${column}-${row + 1}`);
  }

  write(row, values) {
    for (const [column, value] of Object.entries(values)) this.put(this.box(row, column), value);
  }

  put(box, value) {
    this.taps.at(-1).boxes.push([box, box.value]);
    box.value = value;
  }

  /** The first line after the last one used, added to the table if there is none left; or none. */
  freeRow() {
    const rows = [...this.form.querySelectorAll("tbody tr")];
    const used = rows.map((_, row) => COLUMNS.some((column) => this.box(row, column).value.trim()));
    const free = used.lastIndexOf(true) + 1;
    if (free >= Number(this.part.dataset.mostRows)) return null;
    if (free === rows.length) this.addRow(rows.at(-1), free);
    return free;
  }

  addRow(last, row) {
    const added = last.cloneNode(true);
    added.querySelector("th").textContent = row + 1;
    for (const box of added.querySelectorAll("input")) {
      box.id = `${box.name}-${row + 1}`;
      box.value = "";
      box.closest("td").querySelector("label").htmlFor = box.id;
    }
    last.after(added);
  }
}

if (typeof document !== "undefined") {
  const part = document.querySelector("[data-plan-trace]");
  const form = document.getElementById("plan-form");
  if (part && form) new Trace(part, form);
}
