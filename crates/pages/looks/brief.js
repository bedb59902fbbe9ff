// The briefing's clock: what has gone by and what is left, kept going between two topics.
(() => {
  const talk = document.querySelector("[data-talk][data-began]");
  const words = talk?.querySelector("[data-talk-words]");
  if (!words) return;
  const began = Number(talk.dataset.began);
  const whole = Number(talk.dataset.minutes) * 60;
  // The phone's clock may be wrong: what counts is how far it runs on from when the page came.
  const came = Date.now();
  const shown = words.textContent.match(/(\d+):(\d\d) gone/);
  const gone = shown ? Number(shown[1]) * 60 + Number(shown[2]) : Math.max(0, (came - began) / 1000);
  const clock = (seconds) => `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;
  const tick = () => {
    const now = gone + (Date.now() - came) / 1000;
    const left = whole - now;
    const strong = document.createElement("strong");
    strong.textContent = left >= 0 ? `${clock(left)} left` : `Over time by ${clock(-left)}`;
    words.replaceChildren(...(left >= 0 ? [`${clock(now)} gone, `, strong] : [strong]));
  };
  if (shown || gone >= whole) setInterval(tick, 1000);
})();
