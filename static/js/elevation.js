/** Keep the drawing of an opening in step with the list beside it, and let keys and thumbs use it. */

const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** Mark as chosen, in the drawing, whatever part the address names. */
export function choose(drawing, hash) {
  for (const link of drawing.querySelectorAll("a")) {
    link.toggleAttribute("data-chosen", hash !== "" && link.getAttribute("href") === hash);
  }
}

/** The part of the drawing that belongs to a row of the list, if there is one. */
export function partOf(drawing, row) {
  return row?.id ? drawing.querySelector(`a[href="#${row.id}"]`) : null;
}

/** Show in the drawing which row the pointer or the focus is on. */
export function followRows(drawing, page) {
  const show = (target) => {
    const part = partOf(drawing, target.closest?.("tr[id]"));
    for (const link of drawing.querySelectorAll("[data-pointed]")) link.removeAttribute("data-pointed");
    part?.setAttribute("data-pointed", "");
  };
  page.addEventListener("mouseover", (event) => show(event.target));
  page.addEventListener("focusin", (event) => show(event.target));
}

const middle = ({ left, right, top, bottom }) => [(left + right) / 2, (top + bottom) / 2];

/** The part whose middle lies nearest in a direction; straight on counts for more than aside. */
export function neighbour(boxes, from, [across, down]) {
  const [x, y] = middle(boxes[from]);
  let best = -1;
  let least = Infinity;
  boxes.forEach((box, place) => {
    const [toX, toY] = middle(box);
    const ahead = (toX - x) * across + (toY - y) * down;
    const aside = Math.abs((toX - x) * down) + Math.abs((toY - y) * across);
    if (place !== from && ahead > 1 && ahead + 2 * aside < least) {
      best = place;
      least = ahead + 2 * aside;
    }
  });
  return best;
}

/** Let the arrow keys move the focus from panel to panel. */
export function moveByArrows(drawing) {
  drawing.addEventListener("keydown", (event) => {
    const links = [...drawing.querySelectorAll("a")];
    const from = links.indexOf(event.target.closest("a"));
    const step = STEPS[event.key];
    if (!step || from < 0 || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    links[neighbour(links.map((link) => link.getBoundingClientRect()), from, step)]?.focus();
  });
}

/** Offer the drawing larger where its smallest panel is less than a thumb's breadth. */
export function offerLarger(figure) {
  const drawing = figure.querySelector("svg");
  const button = figure.querySelector(".drawing-larger");
  const wide = Number(figure.dataset.touchWidth);
  const [, , across, down] = drawing.getAttribute("viewBox").split(" ").map(Number);
  const offer = () => {
    const shown = Math.min(drawing.clientWidth, (drawing.clientHeight * across) / down);
    if (!figure.hasAttribute("data-larger")) button.hidden = shown >= wide - 1;
  };
  button.addEventListener("click", () => {
    const larger = figure.toggleAttribute("data-larger");
    button.setAttribute("aria-pressed", String(larger));
    if (larger) {
      drawing.setAttribute("width", wide);
      drawing.setAttribute("height", (wide * down) / across);
    } else {
      drawing.removeAttribute("width");
      drawing.removeAttribute("height");
      offer();
    }
  });
  offer();
  addEventListener("resize", offer);
}

if (typeof document !== "undefined") {
  for (const figure of document.querySelectorAll(".drawing[data-touch-width]")) {
    const drawing = figure.querySelector("svg.elevation");
    choose(drawing, location.hash);
    addEventListener("hashchange", () => choose(drawing, location.hash));
    followRows(drawing, document);
    moveByArrows(drawing);
    offerLarger(figure);
  }
}
