// Keys beside counters, and ticks kept while the phone sleeps. Pages work without it.
"use strict";

const counters = (root) => { for (const input of root.querySelectorAll("input[data-count], input[data-step]")) {
  const keys = document.createElement("span");
  keys.className = "keys";
  const label = document.querySelector(`label[for="${input.id}"]`).textContent;
  const key = (sign, step, word) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "key";
    button.textContent = sign;
    button.setAttribute("aria-label", `${word}: ${label}`);
    button.addEventListener("click", () => {
      if ("count" in input.dataset) {
        // No more are crazed than were looked at.
        const most = parseInt(input.form?.elements[input.dataset.of]?.value, 10);
        const next = Math.max(0, (parseInt(input.value, 10) || 0) + step);
        input.value = next > most ? most : next;
      }
      else if (!Number.isNaN(Number(input.value))) input.value = (Number(input.value) + step / 10).toFixed(1);
      for (const kind of ["input", "change"]) input.dispatchEvent(new Event(kind, { bubbles: true }));
    });
    return button;
  };
  input.replaceWith(keys);
  keys.append(key("\u2212", -1, "one less"), input, key("+", 1, "one more"));
} };

const keep = (root) => { for (const form of root.querySelectorAll("form[data-keep]")) {
  const told = form.querySelector("[data-kept]");
  let last = Promise.resolve();
  const send = async () => {
    told.textContent = "not saved yet";
    told.className = "unsaved";
    try {
      const sent = await fetch(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)) });
      told.textContent = sent.ok ? "kept" : "not saved: open this page again";
      told.className = sent.ok ? "" : "unsaved";
    } catch {
      told.textContent = "not saved: the bench is closed, or out of reach";
    }
  };
  form.addEventListener("change", () => { last = last.then(send); });
  window.addEventListener("online", () => { if (told.className === "unsaved") last = last.then(send); });
} };

// Clocks run on the server: here they are only counted on from what it said.
const clocks = (root) => { for (const clock of root.querySelectorAll("[data-seconds]")) {
  const ends = performance.now() + 1000 * Number(clock.dataset.seconds);
  const tick = setInterval(() => {
    const left = Math.ceil((ends - performance.now()) / 60000);
    if (!clock.isConnected) clearInterval(tick);
    else if (left <= 0) { clock.textContent = "done"; clearInterval(tick); }
    else clock.textContent = left < 90 ? `${left} min to go` : `${Math.round(left / 60)} h to go`;
  }, 5000);
} };

// Answers while a form is filled in: the page's own answer, put in its place. What a
// form names in data-live is left out, so that nothing is kept before its key is hit.
const live = (root) => { for (const form of root.querySelectorAll("form[data-live]")) {
  const at = `[data-answer="${form.dataset.place ?? ""}"]`;
  const place = document.querySelector(at);
  if (!place) continue;
  place.setAttribute("aria-live", "polite");
  let asked, wait;
  const ask = async () => {
    // An older question is no longer wanted: the bench stops working on it.
    asked?.abort();
    if (!form.checkValidity()) return;
    asked = new AbortController();
    const said = new URLSearchParams(new FormData(form));
    for (const name of ["request", ...form.dataset.live.split(" ")]) said.delete(name);
    try {
      const sent = form.method === "get"
        ? await fetch(`${form.action}?${said}`, { signal: asked.signal })
        : await fetch(form.action, { method: "POST", body: said, signal: asked.signal });
      const page = new DOMParser().parseFromString(await sent.text(), "text/html");
      const answer = page.querySelector(at);
      if (answer) {
        place.replaceChildren(...answer.childNodes);
        wire(place);
      } else place.textContent = page.querySelector("h1")?.textContent ?? "";
    } catch (why) {
      if (why.name !== "AbortError") place.textContent = "The bench is closed, or out of reach.";
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(ask, 250);
  });
} };

// What is wider than the page says that it goes on.
const sideways = (root) => { for (const wide of root.querySelectorAll(".wide, .map, .drawing")) {
  const told = document.createElement("p");
  told.className = "goes-on";
  told.textContent = "It goes on to the side: slide it.";
  new ResizeObserver(() => {
    if (wide.scrollWidth > wide.clientWidth + 1) wide.before(told);
    else told.remove();
  }).observe(wide);
} };

// Another wish is about another thing: its value isn't this one's.
const wishes = (root) => { for (const wish of root.querySelectorAll("select[name=wish]")) {
  wish.addEventListener("change", () => { wish.closest("fieldset").querySelector("input").value = ""; });
} };

// A form that would leave for nowhere stays: whether the bench is open is asked as soon as
// a form is touched.
let closed = false;
const ask = () => fetch("/icon.svg", { cache: "no-store" }).then(() => { closed = false; }, () => { closed = true; });
const reach = (root) => { for (const form of root.querySelectorAll("form[method=post]")) {
  for (const kind of ["focusin", "pointerdown"]) form.addEventListener(kind, ask);
  form.addEventListener("submit", (event) => {
    if (!closed) return;
    event.preventDefault();
    const told = form.querySelector("[data-unsent]") ?? document.createElement("p");
    told.dataset.unsent = "";
    told.className = "unsaved";
    told.setAttribute("role", "alert");
    told.textContent = "Not sent: the bench is closed, or out of reach. What you wrote is still here.";
    form.append(told);
    ask();
  });
} };

const wire = (root) => [counters, keep, clocks, live, sideways, wishes, reach].forEach((part) => part(root));
wire(document);
