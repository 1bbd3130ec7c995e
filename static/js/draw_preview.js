/** Send what is typed, show the drawing that comes back: only the newest answer counts. */

const WAIT = 150;

/** What is shown and said in answer to what stands in the boxes of `form`. */
export class Preview {
  constructor(form, board) {
    this.form = form;
    this.board = board;
    this.shown = () => {};
  }

  /** Ask once the typing has paused. */
  soon() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.now(), WAIT);
  }

  /** Ask now and then while something is being moved. */
  keepUp() {
    this.timer ??= setTimeout(() => this.now(), WAIT);
  }

  /** Ask at once; `more` are further values, such as a button that was pressed. */
  async now(more = {}) {
    clearTimeout(this.timer);
    this.timer = undefined;
    this.running?.abort();
    this.running = new AbortController();
    const body = new FormData(this.form);
    for (const [name, value] of Object.entries(more)) body.set(name, value);
    try {
      const options = { method: "POST", body, signal: this.running.signal };
      const answer = await fetch(this.form.dataset.preview, options);
      if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
      this.show(await answer.text());
      return true;
    } catch (error) {
      if (error.name !== "AbortError") this.lose();
      return false;
    }
  }

  /** Say that there is no answer; what is typed stays. */
  lose() {
    this.board.toggleAttribute("data-stale", true);
    this.say(this.form.dataset.lost);
  }

  say(words) {
    const said = this.board.querySelector("[data-said]");
    if (said.textContent !== words) said.textContent = words;
  }

  show(html) {
    const answer = new DOMParser().parseFromString(html, "text/html").body.firstElementChild;
    if (answer?.dataset.relaid === undefined) throw new Error("not an answer");
    const focused = document.activeElement;
    for (const part of ["laid", "leaving", ...answer.dataset.relaid.split(" ")]) this.swap(answer, part);
    this.fill(answer);
    this.draw(answer);
    complain(this.form, answer);
    this.refocus(focused);
    this.shown();
  }

  /** Put one part of the answer in the place of the same part of the page. */
  swap(answer, name) {
    const old = name && this.form.querySelector(`[data-part="${name}"]`);
    const fresh = name && answer.querySelector(`[data-part="${name}"]`);
    if (!old || !fresh) return;
    for (const row of old.querySelectorAll("details[open][data-row]")) {
      fresh.querySelector(`details[data-row="${row.dataset.row}"]`)?.setAttribute("open", "");
    }
    old.replaceWith(fresh);
  }

  /** Boxes that were filled for the user. */
  fill(answer) {
    for (const item of answer.querySelectorAll('[data-part="boxes"] > li')) {
      const box = this.form.elements[item.dataset.name];
      if (box) box.value = item.textContent;
    }
  }

  /** The new drawing; where there is none, the last one stays, greyed. */
  draw(answer) {
    const surface = answer.querySelector(".draw-surface");
    const drawn = surface.querySelector("svg") !== null;
    if (drawn) this.board.querySelector(".draw-surface").replaceWith(surface);
    this.board.toggleAttribute("data-stale", !drawn);
    const whole = [...answer.querySelectorAll('[data-part="complaints"] > li[data-box=""]')];
    this.say([answer.querySelector("[data-said]").textContent.trim(), ...whole.map((item) => item.textContent)].join(" "));
    this.board.querySelector(".draw-remarks").replaceWith(answer.querySelector(".draw-remarks"));
  }

  /** The focus back on what had it, if a newer one of its kind took its place. */
  refocus(focused) {
    if (!focused || focused.isConnected) return;
    const handle = focused.dataset?.row && `.draw-handle[data-row="${focused.dataset.row}"]`;
    const again = focused.id ? document.getElementById(focused.id) : this.board.querySelector(handle || "none");
    again?.focus({ preventScroll: true });
  }
}

/** Say beside each box what is wrong with it, and take back what was said before. */
export function complain(form, answer) {
  for (const old of form.querySelectorAll(".invalid-feedback")) old.remove();
  for (const box of form.querySelectorAll(".is-invalid, [aria-invalid]")) {
    box.classList.remove("is-invalid");
    box.removeAttribute("aria-invalid");
    describe(box, "");
  }
  for (const item of answer.querySelectorAll('[data-part="complaints"] > li')) {
    const box = item.dataset.box && document.getElementById(item.dataset.box);
    if (box) complainOf(box, item.textContent);
  }
}

function complainOf(box, words) {
  const said = document.createElement("p");
  said.className = "invalid-feedback";
  said.id = `${box.id}_error`;
  said.textContent = words;
  const radio = box.type === "radio";
  if (radio) box.closest("fieldset").after(said);
  else box.after(said);
  if (!radio) box.classList.add("is-invalid");
  box.setAttribute("aria-invalid", "true");
  describe(box, said.id);
  box.closest("details")?.setAttribute("open", "");
}

/** Name what describes a box: what always did, and its error if it has one. */
function describe(box, error) {
  box.dataset.described ??= (box.getAttribute("aria-describedby") ?? "")
    .split(" ")
    .filter((id) => id && !id.endsWith("_error"))
    .join(" ");
  const all = [box.dataset.described, error].filter(Boolean).join(" ");
  if (all) box.setAttribute("aria-describedby", all);
  else box.removeAttribute("aria-describedby");
}
