/** Two photographs laid over each other, the later one uncovered from the left by a slider. */

/** Show `share` per cent of the later picture of `slider`. */
export function uncover(slider, share) {
  slider.style.setProperty("--uncovered", `${share}%`);
}

/** Lay the two pictures over each other, or side by side again. */
export function lay(slider, over) {
  const range = slider.querySelector("input[type=range]");
  slider.toggleAttribute("data-over", over);
  range.hidden = !over;
  slider.querySelector("label").hidden = !over;
  const { whenOver, whenBeside } = slider.querySelector("button").dataset;
  slider.querySelector("button").textContent = over ? whenOver : whenBeside;
  uncover(slider, range.value);
}

/** Make `slider` one: only where both its pictures are there to be seen. */
export function attend(slider) {
  if (slider.querySelectorAll("img").length < 2) return;
  const button = slider.querySelector("button");
  const range = slider.querySelector("input[type=range]");
  button.hidden = false;
  button.addEventListener("click", () => lay(slider, !slider.hasAttribute("data-over")));
  range.addEventListener("input", () => uncover(slider, range.value));
  lay(slider, true);
}

if (typeof document !== "undefined") {
  for (const slider of document.querySelectorAll("[data-slider]")) attend(slider);
}
