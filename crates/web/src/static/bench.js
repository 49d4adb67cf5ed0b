// Keys beside counters, and ticks kept while the phone sleeps. Pages work without it.
"use strict";

for (const input of document.querySelectorAll("input[data-count]")) {
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
      input.value = Math.max(0, (parseInt(input.value, 10) || 0) + step);
      input.dispatchEvent(new Event("change", { bubbles: true }));
    });
    return button;
  };
  input.replaceWith(keys);
  keys.append(key("\u2212", -1, "one less"), input, key("+", 1, "one more"));
}

for (const form of document.querySelectorAll("form[data-keep]")) {
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
}

// Answers while a form is filled in: the page's own answer, put in its place.
for (const form of document.querySelectorAll("form[data-live]")) {
  const place = document.querySelector("[data-answer]");
  if (!place) continue;
  place.setAttribute("aria-live", "polite");
  let asked, wait;
  const ask = async () => {
    // An older question is no longer wanted: the bench stops working on it.
    asked?.abort();
    asked = new AbortController();
    const said = new FormData(form);
    said.delete("request");
    try {
      const sent = await fetch(form.action, { method: "POST", body: new URLSearchParams(said), signal: asked.signal });
      const page = new DOMParser().parseFromString(await sent.text(), "text/html");
      const answer = page.querySelector("[data-answer]");
      if (answer) place.replaceChildren(...answer.childNodes);
    } catch (why) {
      if (why.name !== "AbortError") place.textContent = "The bench is closed, or out of reach.";
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(ask, 250);
  });
}
