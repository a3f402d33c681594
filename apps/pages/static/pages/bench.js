// The bench with a script: rows are added in place, a plan answers while it is typed, and a form
// that was not sent stays on the device. Without a script the same pages do the same by their buttons.
"use strict";

(() => {
  const KEPT = "bench-draft:";
  const NEVER_KEPT = new Set(["csrfmiddlewaretoken", "looked", "write", "look", "add"]);
  const MOST_ROWS = 60;
  const FOLDS = {
    wax: "wax_class", fill_gouge: "repair_method", patch_base: "repair_method",
    recut_groove: "groove_width_mm", inspect_binding: "outcome",
  };

  // A device may refuse its storage, in a private window for instance; the form works without.
  const storage = {
    get(key) { try { return localStorage.getItem(key); } catch { return null; } },
    set(key, text) { try { localStorage.setItem(key, text); } catch { /* nothing is kept */ } },
    drop(key) { try { localStorage.removeItem(key); } catch { /* nothing was kept */ } },
    keys() { try { return Object.keys(localStorage); } catch { return []; } },
  };

  function draftAt(key) {
    try { return JSON.parse(storage.get(key)); } catch { return null; }
  }

  function forgetWritten(token) {
    for (const key of storage.keys()) {
      if (key.startsWith(KEPT) && draftAt(key)?.once === token) storage.drop(key);
    }
  }

  function later(milliseconds, effect) {
    let timer = 0;
    return () => { clearTimeout(timer); timer = setTimeout(effect, milliseconds); };
  }

  class Rows {
    constructor(form) { this.form = form; }

    add(section) {
      const count = this.form.elements.namedItem(`${section}-rows`);
      const number = Number(count.value);
      if (number >= MOST_ROWS) return null;
      const blank = this.form.querySelector(`template[data-row="${section}"]`);
      const holder = this.form.querySelector(`[data-rows="${section}"]`);
      const html = blank.innerHTML.replaceAll("__row__", number).replaceAll("__number__", number + 1);
      holder.insertAdjacentHTML("beforeend", html);
      count.value = number + 1;
      return holder.lastElementChild;
    }

    makeRoomFor(name) {
      const found = /^([a-z]+)-(\d+)-/.exec(name);
      if (!found || !this.form.elements.namedItem(`${found[1]}-rows`)) return;
      while (!this.form.elements.namedItem(name) && this.add(found[1])) { /* one more row */ }
    }
  }

  class Draft {
    constructor(form, rows) {
      this.form = form;
      this.rows = rows;
      // On a device that several people use, nobody is given what another one typed.
      this.key = `${KEPT}${form.dataset.who}:${location.pathname}`;
    }

    save() {
      const entries = [...new FormData(this.form)].filter(([name]) => !NEVER_KEPT.has(name));
      const once = this.form.elements.namedItem("once").value;
      storage.set(this.key, JSON.stringify({ once, search: location.search, entries }));
    }

    read() { return draftAt(this.key); }

    drop() { storage.drop(this.key); }

    putBack(draft) {
      for (const [name, value] of draft.entries) {
        this.rows.makeRoomFor(name);
        const field = this.form.elements.namedItem(name);
        if (!field || name.endsWith("-rows") || name === "alone") continue;
        field.value = value;
        if (value) field.closest?.("details")?.setAttribute("open", "");
      }
    }
  }

  function setUpJob(form) {
    const rows = new Rows(form);
    const draft = new Draft(form, rows);
    const said = document.querySelector("[data-draft-said]");
    const part = (name) => said.querySelector(`[data-draft-${name}]`);

    function say(...names) {
      for (const one of said.children) one.hidden = true;
      for (const name of names) part(name).hidden = false;
      said.hidden = names.length === 0;
    }

    function restore(found) {
      draft.putBack(found);
      draft.save();
      say("restored", "drop");
    }

    const found = draft.read();
    if (!form.hasAttribute("data-fresh")) draft.save();
    else if (found && found.search === location.search) restore(found);
    else if (found) say("other", "back", "drop");

    part("drop").addEventListener("click", () => { draft.drop(); location.assign(location.href); });
    part("back").addEventListener("click", () => restore(found));
    form.addEventListener("input", later(250, () => draft.save()));
    form.addEventListener("change", (event) => unfold(event.target));
    form.addEventListener("click", (event) => addInPlace(event, rows));
    form.addEventListener("submit", (event) => sendIfReached(event, form, draft, say));
    // Whoever comes back by the browser's own button sends once more.
    addEventListener("pageshow", () => form.removeAttribute("data-reached"));
  }

  function unfold(field) {
    const other = field.value === "other" && field.name.endsWith("what") ? "what_text" : "operation_text";
    const wanted = field.value === "other" ? other : FOLDS[field.value];
    const row = field.closest(".bench-row");
    const name = /-(what|operation)$/.test(field.name) && wanted && row && field.name.replace(/\w+$/, wanted);
    if (name) row.querySelector(`[name="${name}"]`)?.closest("details")?.setAttribute("open", "");
  }

  function addInPlace(event, rows) {
    const button = event.target.closest("button[name=add]");
    if (!button) return;
    event.preventDefault();
    rows.add(button.value)?.querySelector("select, input:not([type=hidden])")?.focus();
  }

  async function sendIfReached(event, form, draft, say) {
    if (form.hasAttribute("data-reached")) return;
    event.preventDefault();
    draft.save();
    if (form.hasAttribute("data-trying")) return;
    form.setAttribute("data-trying", "");
    const reached = await isReached(form.dataset.alive);
    form.removeAttribute("data-trying");
    if (!reached) {
      say("offline");
      document.querySelector("[data-draft-said]").scrollIntoView({ block: "center" });
      return;
    }
    form.setAttribute("data-reached", "");
    form.requestSubmit(event.submitter);
  }

  async function isReached(address) {
    try {
      const signal = AbortSignal.timeout(8000);
      return (await fetch(address, { method: "HEAD", cache: "no-store", signal })).ok;
    } catch {
      return false;
    }
  }

  function setUpPlan(form) {
    const answer = document.querySelector("[data-answer]");
    const told = document.querySelector("[data-outcome]");
    let running = null;

    function asked() {
      const given = [...new FormData(form)].filter(([, value]) => value !== "");
      return new URLSearchParams(given).toString();
    }

    // What it comes to stays in sight beside the fields, and alone is read out: the whole answer
    // would take minutes.
    function tell() {
      const found = answer.querySelectorAll(".bench-outcome, .error, [data-spent] li > span:first-child");
      told.replaceChildren(...[...found].map((one) => {
        const line = document.createElement("span");
        line.textContent = one.textContent;
        return line;
      }));
    }

    async function work() {
      running?.abort();
      running = new AbortController();
      const query = asked();
      const address = query ? `?${query}` : location.pathname;
      answer.setAttribute("aria-busy", "true");
      try {
        const part = `${location.pathname}?${query}${query ? "&" : ""}part=answer`;
        const response = await fetch(part, { signal: running.signal });
        // Whoever was logged out meanwhile is led to the log-in by the page itself.
        if (response.redirected) { location.assign(address); return; }
        if (response.status >= 500) throw new Error(response.statusText);
        answer.innerHTML = await response.text();
        tell();
        history.replaceState(null, "", address);
      } catch (error) {
        if (error.name === "AbortError") return;
        answer.textContent = form.dataset.said;
      }
      answer.removeAttribute("aria-busy");
    }

    form.addEventListener("input", later(400, work));
  }

  const written = document.querySelector("[data-written]");
  if (written) forgetWritten(written.dataset.written);
  const job = document.querySelector("form[data-job]");
  if (job) setUpJob(job);
  const plan = document.querySelector("form[data-plan]");
  if (plan) setUpPlan(plan);
})();
