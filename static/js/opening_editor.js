/** The editor of a window: the drawing follows the boxes, and the boxes follow the drawing. */

import { Handles } from "./draw_handles.js";
import { Preview } from "./draw_preview.js";

/** A button whose act changes rows of boxes alone: done in place. */
const IN_PLACE = /^(draw|add-|remove-)/;

/** Do what the pressed button asks without leaving the page, where that can be done. */
export function answerButtons(form, preview) {
  form.addEventListener("submit", (event) => {
    const act = event.submitter?.value ?? "draw";
    if (!IN_PLACE.test(act)) return;
    event.preventDefault();
    preview.now({ act });
  });
}

/** First the button, then a tap on the drawing: there the plaque is. From the keyboard: at once. */
export function placePlaques(form, board, preview, handles) {
  const button = board.querySelector("[data-places]");
  const wait = (waiting) => {
    board.toggleAttribute("data-placing", waiting);
    button.setAttribute("aria-pressed", String(waiting));
    if (waiting) preview.say(form.dataset.tap);
  };
  const put = async (place) => {
    wait(false);
    if (!(await preview.now({ act: "place", ...place }))) return;
    const boxes = form.querySelectorAll('[data-part="plaque"] [name$="-width"]');
    boxes[boxes.length - 1]?.focus();
    boxes[boxes.length - 1]?.select();
  };
  button.setAttribute("aria-pressed", "false");
  button.addEventListener("click", (event) => {
    event.preventDefault();
    if (event.detail === 0) put({});
    else wait(!board.hasAttribute("data-placing"));
  });
  board.addEventListener("click", (event) => {
    if (!board.hasAttribute("data-placing") || !event.target.closest(".draw-surface svg")) return;
    const { x, y } = handles.at(event);
    put({ at_x: x.toFixed(1), at_y: y.toFixed(1) });
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && board.hasAttribute("data-placing")) wait(false);
  });
}

/** What has the focus in the list is shown on the drawing, and the other way round. */
export function keepInStep(form, board) {
  form.addEventListener("focusin", (event) => {
    const row = event.target.closest("[data-row]")?.dataset.row;
    for (const part of form.querySelectorAll("[data-row]")) {
      part.toggleAttribute("data-chosen", part.dataset.row === row);
    }
    if (row && board.contains(event.target)) {
      form.querySelector(`details[data-row="${row}"]`)?.setAttribute("open", "");
    }
  });
}

/** A larger drawing on a small screen, for as long as it is wanted. */
export function offerLarger(board) {
  const button = board.querySelector(".draw-larger");
  button.hidden = false;
  button.addEventListener("click", () => {
    button.setAttribute("aria-pressed", String(board.toggleAttribute("data-larger")));
  });
}

export function edit(form) {
  const board = form.querySelector(".draw-board");
  const preview = new Preview(form, board);
  const handles = new Handles(board, form, preview);
  preview.shown = () => handles.reapply();
  form.querySelector(".draw-now").hidden = true;
  form.addEventListener("input", () => preview.soon());
  form.addEventListener("change", () => preview.soon());
  answerButtons(form, preview);
  placePlaques(form, board, preview, handles);
  keepInStep(form, board);
  offerLarger(board);
}

if (typeof document !== "undefined") document.querySelectorAll("form.draw").forEach(edit);
