// Entries of a yard sign-off, on the lead's phone at the machine: each is kept on the
// phone first, then sent; what waits is shown at its item. The list opens beyond the
// safe stop when all its steps are right, here or on the phone; the site checks again.
// Without this script each item is an ordinary form.
{
  const list = document.querySelector("#sign-off");
  const person = document.body.dataset.person;
  const here = location.pathname;

  // Browsers make random ids only on https; this works on plain http too.
  const freshKey = () =>
    [...crypto.getRandomValues(new Uint8Array(16))]
      .map((byte) => byte.toString(16).padStart(2, "0"))
      .join("");

  const rowOf = (form) => form.closest("li[data-item]");
  const saidRight = (entry) => new Map(entry.fields).get("right");

  const entryOf = (form, button) => {
    const fields = [...new FormData(form)].filter(([name]) => name !== "right");
    if (button?.name) fields.push([button.name, button.value]);
    const path = new URL(form.action).pathname;
    return {
      person,
      address: `${path}?entry=${form.elements.namedItem("key").value}`,
      page: here,
      leads: here,
      item: rowOf(form).dataset.item,
      title: rowOf(form).querySelector(".what").firstChild.textContent.trim(),
      fields,
      state: "waiting",
      kept: Date.now(),
    };
  };

  const own = async () => {
    const all = await answerQueue.of(person);
    return all.filter((entry) => entry.page === here);
  };

  // What waits at each item; the last entry of an item is the one that will hold.
  const showWaiting = (entries) => {
    const last = new Map();
    for (const entry of entries) {
      if (entry.state === "waiting") last.set(entry.item, entry);
    }
    for (const row of list.querySelectorAll("li[data-item]")) {
      const entry = last.get(row.dataset.item);
      const note = row.querySelector("[data-waits]");
      note.hidden = !entry;
      const word = entry && saidRight(entry);
      const button = word && row.querySelector(`button[value=${word}]`);
      note.querySelector("b").textContent = button ? button.textContent : "";
    }
    const sign = document.querySelector("#yard-sign");
    if (!sign) return;
    sign.querySelector("[data-entries-wait]").hidden = last.size === 0;
    for (const button of sign.querySelectorAll("button")) button.disabled = last.size > 0;
  };

  const openOrClose = (entries) => {
    const stop = [...list.querySelectorAll("li[data-stop]")];
    const right = (row) => {
      const mine = entries.filter(
        (entry) => entry.item === row.dataset.item && entry.state === "waiting",
      );
      const last = mine.at(-1);
      return last ? saidRight(last) === "yes" : row.dataset.word === "right";
    };
    const opened = stop.every(right);
    for (const part of list.querySelectorAll("fieldset[data-closed]")) {
      part.disabled = !opened;
    }
    for (const note of list.querySelectorAll("[data-closed-note]")) note.hidden = opened;
  };

  const show = async () => {
    known = await own();
    showWaiting(known);
    showRefused(known);
    openOrClose(known);
  };

  // Typed into and not yet sent: a fresh page must not take that away.
  const begun = (row) =>
    [...row.querySelectorAll("input")].some((field) =>
      field.type === "radio"
        ? field.checked !== field.defaultChecked
        : field.value !== field.defaultValue,
    );

  const takeOver = (fresh, sent) => {
    for (const row of fresh.querySelectorAll("li[data-item]")) {
      const old = document.getElementById(row.id);
      if (old && (sent.has(row.dataset.item) || !begun(old))) {
        const opened = old.querySelector("details")?.open;
        row.querySelector("details").open = Boolean(opened);
        old.replaceWith(document.adoptNode(row));
      }
    }
    for (const group of fresh.querySelectorAll(".yard-group")) {
      const old = document.getElementById(group.id);
      if (!old) continue;
      old.querySelector(".count").textContent = group.querySelector(".count").textContent;
      const note = group.querySelector("[data-closed-note]");
      const part = old.querySelector("fieldset.bare");
      part.toggleAttribute("data-closed", Boolean(note));
      if (!note) {
        part.disabled = false;
        old.querySelector("[data-closed-note]")?.remove();
      }
    }
    for (const id of ["yard-progress", "yard-sign"]) {
      const now = fresh.getElementById(id);
      const old = document.getElementById(id);
      if (now && old) old.replaceWith(document.adoptNode(now));
    }
  };

  const look = async (sent) => {
    const asked = { headers: { Accept: "text/html" }, cache: "no-store" };
    const reply = await fetch(here, asked);
    if (!reply.ok || new URL(reply.url).pathname !== here) return;
    const text = await reply.text();
    takeOver(new DOMParser().parseFromString(text, "text/html"), sent);
  };

  // What the site said of an entry that it did not take stands at its item, with what
  // was typed, until the item is entered anew.
  const showRefused = (entries) => {
    for (const row of list.querySelectorAll("li[data-item]")) {
      const mine = entries.filter((entry) => entry.item === row.dataset.item);
      const last = mine.at(-1);
      row.querySelector("[data-refused]")?.remove();
      const form = row.querySelector("form");
      if (last?.state !== "refused" || !form) continue;
      const said = document.createElement("p");
      said.className = "error";
      said.dataset.refused = "";
      said.setAttribute("role", "alert");
      said.textContent = [...new Set(last.sentences)].join(" ");
      form.before(said);
      if (!begun(row)) refill(form, last.fields);
    }
  };

  const refill = (form, fields) => {
    for (const [name, value] of fields) {
      if (["csrf_token", "key", "right"].includes(name)) continue;
      const field = form.elements.namedItem(name);
      if (field) field.value = value;
    }
  };

  const submit = async (event) => {
    const form = event.target;
    if (!form.matches("form[data-entry]")) return;
    event.preventDefault();
    const row = rowOf(form);
    const entry = entryOf(form, event.submitter);
    const key = form.elements.namedItem("key");
    try {
      await answerQueue.keep(entry);
    } catch {
      return HTMLFormElement.prototype.submit.call(withSaid(form, event.submitter));
    }
    key.value = freshKey(); // what is entered next is another entry
    await show();
    await sendAll();
  };

  // This browser keeps nothing: an ordinary form, with the button that was pressed.
  const withSaid = (form, button) => {
    if (button?.name) {
      const said = document.createElement("input");
      Object.assign(said, { type: "hidden", name: button.name, value: button.value });
      form.append(said);
    }
    return form;
  };

  // Looks again at the page after entries arrived, whoever sent them.
  const settle = async () => {
    const entries = await own();
    const left = new Set(entries.map((entry) => entry.address));
    const sent = new Set(
      known
        .filter((entry) => entry.state === "waiting" && !left.has(entry.address))
        .map((entry) => entry.item),
    );
    for (const entry of entries) {
      if (entry.state === "refused" && sent.has(entry.item)) {
        await answerQueue.drop(person, entry.address);
      }
    }
    try {
      if (sent.size) await look(sent);
    } catch {
      // no signal again: what was sent is taken, the page follows later
    }
    await show();
  };

  let known = [];
  let sending = Promise.resolve();
  const sendAll = () => {
    const once = async () => {
      await answerSender.sendAll(person);
      await settle();
    };
    sending = sending.then(once, once);
    return sending;
  };
  const follow = () => {
    sending = sending.then(settle, settle);
  };

  const begin = async () => {
    for (const key of list.querySelectorAll("form[data-entry] input[name=key]")) {
      key.value = freshKey();
    }
    await show();
  };

  if (list && person && document.querySelector("form[data-entry]")) {
    list.addEventListener("submit", submit);
    document.addEventListener("answers-sent", follow);
    begin();
  }
}
