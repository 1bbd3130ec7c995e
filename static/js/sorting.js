/** Photographs sorted in by drag and by keyboard. Without this, ticks and buttons do the same. */

/** The boxes of a tray's photographs, in their order. */
export function boxesOf(tray) {
  return [...tray.querySelectorAll("input[type=checkbox]")];
}

/** How many photographs of `tray` stand in its first row. */
export function columnsOf(tray) {
  const items = [...tray.children];
  const next = items.findIndex((item) => item.offsetTop > items[0].offsetTop);
  return next < 1 ? items.length : next;
}

/** The place an arrow key leads to from `place` among `count` in rows of `columns`. */
export function placeAfter(key, place, count, columns) {
  const step = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -columns, ArrowDown: columns }[key];
  if (key === "Home") return 0;
  if (key === "End") return count - 1;
  const there = place + step;
  return there < 0 || there >= count ? place : there;
}

/** Tick `box`, alone unless it is among the ticked ones already. */
export function take(tray, box) {
  if (box.checked) return;
  for (const other of boxesOf(tray)) other.checked = other === box;
}

/** Say how many are ticked. */
export function tell(form, tray) {
  const count = boxesOf(tray).filter((box) => box.checked).length;
  const line = form.querySelector("[data-chosen-count]");
  const words = count === 1 ? line.dataset.one : line.dataset.many.replace("{n}", count);
  line.textContent = count ? words : "";
}

const MOVES = new Set(["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Home", "End"]);

/** In the tray: arrows move, Enter and what is typed go to the box for a number. */
function attendKeys(tray, typed) {
  tray.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.target.type !== "checkbox") return;
    const boxes = boxesOf(tray);
    if (MOVES.has(event.key)) {
      const place = boxes.indexOf(event.target);
      boxes[placeAfter(event.key, place, boxes.length, columnsOf(tray))].focus();
      event.preventDefault();
    } else if (event.key === "Enter") {
      typed.focus();
      event.preventDefault();
    } else if (event.key.length === 1 && event.key !== " ") {
      // The letter itself arrives in the box: it has the focus before the key is let go.
      typed.focus();
    }
  });
}

/** Photographs may be dragged, those ticked together with the one that is dragged. */
function attendDrag(form, tray) {
  for (const item of tray.children) item.draggable = true;
  tray.addEventListener("dragstart", (event) => {
    const box = event.target.closest("li")?.querySelector("input[type=checkbox]");
    if (!box) return;
    take(tray, box);
    tell(form, tray);
    event.dataTransfer.setData("text/plain", box.value);
    event.dataTransfer.effectAllowed = "move";
  });
  for (const target of form.querySelectorAll("[data-place]")) {
    target.addEventListener("dragover", (event) => {
      event.preventDefault();
      target.toggleAttribute("data-over", true);
    });
    target.addEventListener("dragleave", () => target.toggleAttribute("data-over", false));
    target.addEventListener("drop", (event) => {
      event.preventDefault();
      target.toggleAttribute("data-over", false);
      form.requestSubmit(target);
    });
  }
}

/** Give `form` its drag and its keys. */
export function attend(form) {
  const tray = form.querySelector("[data-tray]");
  for (const words of form.querySelectorAll("[data-with-script]")) words.hidden = false;
  attendKeys(tray, form.querySelector("#id_typed"));
  attendDrag(form, tray);
  tray.addEventListener("change", () => tell(form, tray));
  tell(form, tray);
}

if (typeof document !== "undefined") {
  for (const form of document.querySelectorAll("[data-sorting]")) attend(form);
}
