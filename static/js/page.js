/** Small manners of every page: focus on what must be mended, menus that close, tables that stay tables. */

/** Put the focus on the summary of errors, if `part` has one. */
export function focusErrors(part) {
  part.querySelector("[data-takes-focus]")?.focus();
}

/** Close every open menu but the one that holds `target`. */
export function closeOthers(page, target) {
  for (const menu of page.querySelectorAll("details[data-closes][open]")) {
    if (!menu.contains(target)) menu.open = false;
  }
}

const ROLES = { table: "table", thead: "rowgroup", tbody: "rowgroup", tfoot: "rowgroup", tr: "row", td: "cell" };

/** Say the roles of a table aloud: some browsers forget them once its rows are stacked by CSS. */
export function keepTableRoles(part) {
  for (const table of part.querySelectorAll("table.rows:not([role])")) {
    for (const [name, role] of Object.entries(ROLES)) {
      const members = name === "table" ? [table] : table.querySelectorAll(name);
      for (const member of members) member.setAttribute("role", role);
    }
    for (const head of table.querySelectorAll("th")) {
      head.setAttribute("role", head.scope === "row" ? "rowheader" : "columnheader");
    }
  }
}

/** Do all this for `page` now, and again for whatever htmx brings. */
export function attend(page) {
  focusErrors(page);
  keepTableRoles(page);
  page.addEventListener("htmx:afterSettle", (event) => {
    focusErrors(event.target);
    keepTableRoles(event.target.parentElement ?? page);
  });
  page.addEventListener("click", (event) => closeOthers(page, event.target));
  page.addEventListener("keydown", (event) => {
    if (event.key === "Escape") closeOthers(page, null);
  });
}

if (typeof document !== "undefined") attend(document);
