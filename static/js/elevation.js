/** Keep the drawing of an opening in step with the list beside it. */

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

if (typeof document !== "undefined") {
  for (const drawing of document.querySelectorAll("svg.elevation")) {
    choose(drawing, location.hash);
    addEventListener("hashchange", () => choose(drawing, location.hash));
    followRows(drawing, document);
  }
}
