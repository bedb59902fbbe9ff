// Setting boats up: the proof answers while one fills in, and positions follow the control that is chosen.
(() => {
  "use strict";

  /** Positions of a control, read from the page's own list of "control is position". */
  const positions = (control) => {
    const options = document.querySelectorAll("#assigns option");
    const mine = [...options].filter((option) => option.value.startsWith(`${control} is `));
    return mine.map((option) => [option.value.slice(control.length + 4), option.label.replace(/^.*: /, "")]);
  };

  const follow = (select) => {
    const to = select.form.elements[`${select.name.slice(0, -3)}to`];
    if (!to || to.tagName !== "SELECT") return;
    const chosen = to.value;
    const open = new Option("Not said", "");
    to.replaceChildren(open, ...positions(select.value).map(([value, words]) => new Option(words, value)));
    to.value = chosen;
    if (to.selectedIndex < 0) to.value = "";
  };

  /** The positions or values that the form itself names, offered wherever one of them is picked. */
  const own = (form) => {
    const named = form.elements["f.positions"] ?? form.elements["f.values"];
    const names = named.value.split("\n").map((line) => line.trim()).filter(Boolean);
    // Without names of its own it has those of its class.
    if (names.length === 0) return;
    for (const select of form.querySelectorAll("[data-own] select")) {
      const chosen = select.value;
      const known = new Map([...select.options].map((option) => [option.value, option.label]));
      const options = names.map((name) => new Option(known.get(name) ?? name.replaceAll("_", " "), name));
      select.replaceChildren(new Option("Not said", ""), ...options);
      select.value = names.includes(chosen) ? chosen : "";
    }
  };

  const start = () => {
    const form = document.querySelector("form[data-try]");
    const there = document.getElementById("tried");
    if (!form || !there) return;
    let timer = 0;
    let latest = 0;
    const ask = async () => {
      const ticket = ++latest;
      there.setAttribute("aria-busy", "true");
      try {
        const body = new URLSearchParams(new FormData(form));
        const answer = await fetch(form.dataset.try, { method: "POST", body });
        const text = await answer.text();
        if (ticket !== latest) return;
        // Anything but a part of the page, such as a page that asks to sign in, is not put here.
        if (answer.ok && !answer.redirected) there.innerHTML = text;
        else there.textContent = "Trying did not work. What you filled in is still here; press \u201cTry\u201d.";
      } catch {
        if (ticket === latest) there.textContent = "There is no connection to the base. What you filled in is still here.";
      } finally {
        if (ticket === latest) there.removeAttribute("aria-busy");
      }
    };
    form.addEventListener("input", (event) => {
      if (event.target.id === "note" || event.target.id === "new_id") return;
      if (event.target.matches('select[name$=".set"]')) follow(event.target);
      if (["f.positions", "f.values"].includes(event.target.name)) own(form);
      clearTimeout(timer);
      timer = setTimeout(ask, 700);
    });
  };

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
