// Where a place lies: a tap on the picture fills the figures in, and the mark follows the figures.
(() => {
  "use strict";

  const METRES = { m: 1, cm: 0.01, mm: 0.001, ft: 0.3048, in: 0.0254 };
  // Nearer to the middle line than this, a finger means the line itself.
  const MIDDLE = 0.12;

  /** What a length field says in metres; nothing if it says none, or in a way that only the base reads. */
  const length = (form, name) => {
    const typed = form.elements[name].value.trim().replace(",", ".");
    const unit = METRES[form.elements[`${name}~unit`].value];
    if (!unit || !/^\d*\.?\d+$|^\d+\.$/.test(typed)) return undefined;
    return Number(typed) * unit;
  };

  /** Says a length in the unit that is chosen. */
  const say = (form, name, metres) => {
    const unit = form.elements[`${name}~unit`];
    if (!METRES[unit.value]) unit.value = "m";
    const number = metres / METRES[unit.value];
    form.elements[name].value = String(Number(number.toFixed(unit.value === "m" || unit.value === "ft" ? 2 : 0)));
  };

  const start = () => {
    const there = document.querySelector("[data-spot]");
    const form = there?.closest("form");
    if (!form?.elements["f.aft~unit"] || !form.elements["f.side~unit"]) return;
    const words = there.querySelector("[data-spot-words]");
    const pictures = [...there.querySelectorAll("svg")];
    there.classList.add("ready");
    for (const hint of there.querySelectorAll("[data-scripted]")) hint.hidden = false;

    const place = () => {
      const aft = length(form, "f.aft");
      const side = form.elements["f.side~to"].value;
      const off = side === "" ? 0 : length(form, "f.side");
      const known = aft !== undefined && off !== undefined;
      const across = side === "port" ? -off : off;
      for (const picture of pictures) {
        const mark = picture.querySelector(".here-mark");
        mark.toggleAttribute("hidden", !known);
        if (!known) continue;
        const { metre, middle, bow } = picture.dataset;
        mark.setAttribute("transform", `translate(${Number(middle) + across * metre} ${Number(bow) + aft * metre})`);
        const box = mark.querySelector("rect");
        const high = (length(form, "f.long") || 0.5) * metre;
        const wide = (length(form, "f.wide") || 0.5) * metre;
        for (const [name, value] of Object.entries({ x: -wide / 2, y: -high / 2, width: wide, height: high })) box.setAttribute(name, value);
      }
      if (!known) words.textContent = aft === undefined ? "Not placed yet." : "Say how far from the middle line.";
      else words.textContent = `Now ${aft.toFixed(2)} m from the bow, ${off ? `${off.toFixed(2)} m to ${side}` : "on the middle line"}.`;
    };

    // A finger that only meant to scroll does no harm: the figures from before the first tap can be had back.
    const FIGURES = ["f.aft", "f.aft~unit", "f.side", "f.side~unit", "f.side~to"];
    const back = there.querySelector("[data-spot-back]");
    let before;
    const changed = () => form.elements["f.aft"].dispatchEvent(new Event("input", { bubbles: true }));
    back.addEventListener("click", () => {
      for (const name of FIGURES) form.elements[name].value = before[name];
      before = undefined;
      back.hidden = true;
      changed();
    });

    for (const picture of pictures) {
      picture.addEventListener("click", (event) => {
        const matrix = picture.getScreenCTM();
        if (!matrix) return;
        const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
        const { metre, middle, bow } = picture.dataset;
        // A fingertip is no finer than five centimetres.
        const fine = (metres) => Math.round(metres * 20) / 20;
        before ??= Object.fromEntries(FIGURES.map((name) => [name, form.elements[name].value]));
        back.hidden = before["f.aft"] === "";
        const aft = Math.max(0, fine((at.y - bow) / metre));
        const across = fine((at.x - middle) / metre);
        say(form, "f.aft", aft);
        const side = Math.abs(across) < MIDDLE ? "" : across < 0 ? "port" : "starboard";
        form.elements["f.side~to"].value = side;
        if (side === "") form.elements["f.side"].value = "";
        else say(form, "f.side", Math.abs(across));
        changed();
      });
    }
    form.addEventListener("input", (event) => {
      // On the middle line there is no distance from it.
      if (event.target.name === "f.side~to" && event.target.value === "") form.elements["f.side"].value = "";
      place();
    });
    place();
  };

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
