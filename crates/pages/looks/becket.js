// Becket's script. Every page works without it: links and forms ask the server. With it the look is remembered and
// the plan and the searches answer in place. Nothing is sent anywhere but to the site itself.
"use strict";

(() => {
  const root = document.documentElement;
  const KEY = "becket-look";

  const remembered = () => {
    try {
      return localStorage.getItem(KEY);
    } catch {
      return null; // Storage is closed in some private windows; the look then lasts for this page.
    }
  };
  const remember = (look) => {
    try {
      localStorage.setItem(KEY, look);
    } catch {
      // As above.
    }
  };
  const darkPhone = () => matchMedia("(prefers-color-scheme: dark) and (pointer: coarse)").matches;
  const look = () => root.dataset.look ?? (darkPhone() ? "night" : "day");

  // Before anything is drawn, so that the page does not flash white at night.
  const chosen = remembered();
  if (chosen === "night" || chosen === "day") root.dataset.look = chosen;

  const startLooks = () => {
    const button = document.querySelector("[data-look-toggle]");
    if (!button) return;
    const name = () => {
      button.textContent = look() === "night" ? "Day" : "Night";
      button.setAttribute("aria-label", look() === "night" ? "Use day colours" : "Use night colours: dim red");
    };
    button.addEventListener("click", () => {
      root.dataset.look = look() === "night" ? "day" : "night";
      remember(root.dataset.look);
      name();
    });
    name();
    button.hidden = false;
  };

  // Live regions: links marked data-live and forms marked data-live-form change them in place, each by its name.
  let latest = 0;
  const regions = (of) => [...of.querySelectorAll("[data-live-region]")];
  const nameOf = (region) => region.dataset.liveRegion;

  /** Changes one region; its status line stays, so that a screen reader hears it change. */
  const swap = (old, fresh) => {
    // Fields in use keep what is being chosen in them.
    if ("liveKeep" in old.dataset && old.contains(document.activeElement)) return;
    const said = old.querySelector("[data-announce]");
    const news = fresh.querySelector("[data-announce]");
    if (said && news && said.className === news.className && said.getAttribute("role") === news.getAttribute("role")) {
      if (said.innerHTML !== news.innerHTML) said.innerHTML = news.innerHTML;
      news.replaceWith(said);
    }
    const opened = [...old.querySelectorAll("details[open][id]")].map((part) => part.id);
    old.replaceChildren(...fresh.childNodes);
    for (const id of opened) document.getElementById(id)?.setAttribute("open", "");
  };

  const busy = (yes) => {
    for (const region of regions(document)) {
      if (yes) region.setAttribute("aria-busy", "true");
      else region.removeAttribute("aria-busy");
    }
  };

  const show = async (address, { push = true, focus = false } = {}) => {
    const ticket = ++latest;
    const url = new URL(address, location.href);
    let page;
    let came = url;
    busy(true);
    try {
      const answer = await fetch(url.pathname + url.search, { headers: { accept: "text/html" } });
      // A question that can't be understood has a page that says so, in the same regions.
      if (!answer.ok && answer.status !== 400) throw new Error(String(answer.status));
      if (answer.redirected) came = new URL(answer.url);
      page = new DOMParser().parseFromString(await answer.text(), "text/html");
    } catch {
      if (ticket === latest) location.assign(address); // Let the browser show what is wrong.
      return;
    }
    if (ticket !== latest) return;
    busy(false);
    const fresh = new Map(regions(page).map((region) => [nameOf(region), region]));
    if (fresh.size === 0) {
      location.assign(address);
      return;
    }
    for (const old of regions(document)) {
      const news = fresh.get(nameOf(old));
      if (news) swap(old, news);
    }
    if (push) history.pushState({ live: true }, "", came);
    else history.replaceState({ live: true }, "", came);
    document.title = page.title;
    const field = document.getElementById("q");
    if (field && document.activeElement !== field) field.value = url.searchParams.get("q") ?? "";
    if (focus) {
      const there = document.getElementById("there");
      there?.focus({ preventScroll: true });
      const panel = there?.closest(".panel");
      if (panel) {
        panel.scrollTop = 0;
        const box = panel.getBoundingClientRect();
        const held = getComputedStyle(panel).position === "sticky";
        const enough = Math.min(box.height, innerHeight / 3);
        if (!held && (box.top < 0 || box.top + enough > innerHeight)) {
          panel.scrollIntoView({ block: box.height < innerHeight / 2 ? "nearest" : "start" });
        }
      }
    }
  };

  const plainClick = (event) =>
    event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey && !event.altKey;

  const startLive = () => {
    if (regions(document).length === 0) return;
    document.addEventListener("click", (event) => {
      const link = event.target instanceof Element ? event.target.closest("a[data-live]") : null;
      if (!link || !plainClick(event)) return;
      const address = link.getAttribute("href");
      event.preventDefault();
      show(address, { focus: address.endsWith("#there") });
    });
    for (const form of document.querySelectorAll("form[data-live-form]")) {
      const address = () => {
        const asked = new URLSearchParams();
        for (const [key, value] of new FormData(form)) if (value !== "") asked.append(key, value);
        const query = asked.toString();
        return form.getAttribute("action") + (query ? `?${query}` : "");
      };
      let timer;
      form.addEventListener("submit", (event) => {
        event.preventDefault();
        clearTimeout(timer);
        show(address());
      });
      form.addEventListener("input", () => {
        clearTimeout(timer);
        timer = setTimeout(() => show(address(), { push: false }), Number(form.dataset.liveForm) || 140);
      });
    }
    addEventListener("popstate", () => show(location.href, { push: false }));
  };

  // "As she stands": what is left at rest need not be sent, so that the address stays short.
  const startKnobs = () => {
    const form = document.querySelector("form[data-knobs]");
    form?.addEventListener("submit", () => {
      for (const knob of form.querySelectorAll("select[data-rest]")) {
        if (knob.value === knob.dataset.rest) knob.disabled = true;
      }
      for (const field of form.elements) if (field.tagName === "SELECT" && field.value === "") field.disabled = true;
    });
    addEventListener("pageshow", () => {
      for (const knob of document.querySelectorAll("form[data-knobs] select:disabled")) knob.disabled = false;
    });
    form?.addEventListener("change", (event) => {
      const knob = event.target;
      if (knob.dataset?.rest !== undefined) {
        knob.closest(".knob")?.classList.toggle("moved", knob.value !== knob.dataset.rest);
      }
    });
  };

  const start = () => {
    startLooks();
    startLive();
    startKnobs();
    for (const button of document.querySelectorAll("[data-print]")) {
      button.hidden = false;
      button.addEventListener("click", () => print());
    }
  };
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
