/* How many to sow, asked of the table below the questions. Nothing is worked out here: the answer is a cell
   of that table, so the two cannot disagree. Without this script the table stands by itself. */
(function () {
  "use strict";

  const text = (cell) => cell.textContent.replace(/\s+/g, " ").trim();
  const number = (cell) => Number(text(cell).replace(/,/g, ""));

  function words(cell) {
    const more = cell.querySelector("small");
    const whole = text(cell);
    if (!more) return whole;
    const small = text(more);
    return whole.slice(0, whole.length - small.length).trim() + " (" + small + ")";
  }

  function answer(rows, wanted, column, chance) {
    if (!Number.isInteger(wanted) || wanted < 1) return "Write a whole number of plants, from 1 on.";
    const row = rows.find((r) => number(r.cells[0]) >= wanted);
    if (!row) return "The table ends at " + text(rows[rows.length - 1].cells[0]) + " plants: for more, ask in two parts.";
    const step = number(row.cells[0]);
    const plants = wanted + (wanted === 1 ? " good plant, " : " good plants, ") + chance + ": ";
    const next = step === wanted ? "" : " That is for " + step + ", the next number in the table.";
    return plants + words(row.cells[column]) + "." + next;
  }

  function ready(box) {
    const form = box.querySelector("form");
    const [wanted, chance] = [form.querySelector("input"), form.querySelector("select")];
    const said = form.querySelector("[role=status]");
    const rows = [...box.querySelectorAll("tbody tr")];
    const show = () => {
      const line = answer(rows, Number(wanted.value), chance.selectedIndex + 1, chance.value);
      if (said.textContent !== line) said.textContent = line;
    };
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("input", show);
    form.hidden = false;
    show();
  }

  document.querySelectorAll(".tb-ask").forEach(ready);
})();
