// Keeps an answer on the phone first, then sends it; says what waits and what was
// refused. Works on forms with data-keep="<person id>". Without this script the form is
// an ordinary form.
{
  const form = document.querySelector("form[data-keep]");
  const person = document.body.dataset.person;
  const here = location.pathname;
  const note = (name) => document.querySelector(`[data-note=${name}]`);

  const tell = (name, count) => {
    const line = note(name);
    if (!line) return;
    const { one, many } = line.dataset;
    line.hidden = count === 0;
    line.querySelector("span").textContent =
      count === 1 ? one : many.replace("{n}", count);
  };

  const refusedNote = (answer) => {
    const made = document.querySelector("#refused-answer").content.cloneNode(true);
    const [title, again] = made.querySelectorAll("a");
    title.textContent = answer.title || answer.address;
    title.href = again.href = answer.page || answer.address;
    made.querySelector(".error").textContent = answer.sentences.join(" ");
    made.querySelector("button").addEventListener("click", async () => {
      await answerQueue.drop(person, answer.address);
      await show();
    });
    return made;
  };

  const showRefused = (answers) => {
    const elsewhere = answers.filter(
      (one) => one.state === "refused" && ![one.address, one.page].includes(here),
    );
    note("refused")?.replaceChildren(...elsewhere.map(refusedNote));
  };

  // In the list of waiting scenarios: which are answered already.
  const markAnswered = (addresses) => {
    const list = document.querySelector("ul.waiting");
    for (const link of document.querySelectorAll("#coming a")) {
      const answered = addresses.includes(link.pathname);
      const item = link.closest("li");
      if (!item) {
        link.closest("section").hidden = answered;
        continue;
      }
      item.querySelector("small")?.remove();
      if (!answered) continue;
      const word = document.createElement("small");
      word.textContent = ` – ${list.dataset.answered}`;
      item.append(word);
    }
  };

  const show = async (stopped = "") => {
    const answers = await answerQueue.of(person);
    const waiting = answers.filter((one) => one.state === "waiting");
    const out = stopped === "signed-out";
    tell("waiting", out ? 0 : waiting.length);
    tell("signed-out", out ? waiting.length : 0);
    showRefused(answers);
    markAnswered(waiting.map((one) => one.address));
    const kept = form?.querySelector(".for-no-signal");
    if (kept) kept.hidden = !waiting.some((one) => one.address === here);
  };

  // Puts typed values back into the form, and what the site said about them.
  const refill = (answer) => {
    for (const [name, value] of answer.fields) {
      const field = form.elements.namedItem(name);
      if (field && name !== "csrf_token" && name !== "key") field.value = value;
    }
    form.dispatchEvent(new Event("refilled"));
    if (answer.state !== "refused") return;
    const said = form.querySelector(".for-refused");
    said.querySelector(".error").textContent = answer.sentences.join(" ");
    said.hidden = false;
  };

  // The signal may come back while a try without it is still failing: then once more.
  // A phone that says it is online may not reach the site yet: then soon again, and
  // less often each time.
  const SOONEST = 1000;
  const LATEST = 20000;
  let sending = false;
  let again = false;
  let pause = SOONEST;
  let next;
  const later = () => {
    clearTimeout(next);
    next = setTimeout(sendAll, pause);
    pause = Math.min(2 * pause, LATEST);
  };
  const sendAll = async () => {
    again = sending;
    if (sending) return;
    if (submitting) return later();
    sending = true;
    try {
      const { outcomes, stopped } = await answerSender.sendAll(person);
      const arrived = [...outcomes.values()].includes("taken");
      if (outcomes.get(here) === "taken") return location.replace(answerSender.onward(here));
      if (arrived && here === "/practice") return location.reload();
      if (outcomes.get(here) === "refused") refill(await answerQueue.get(person, here));
      await show(stopped);
      if (outcomes.size) document.dispatchEvent(new Event("answers-sent"));
      if (stopped !== "no-signal") pause = LATEST;
    } finally {
      sending = false;
      if (again) sendAll();
      else later();
    }
  };
  const online = () => {
    pause = SOONEST;
    sendAll();
  };

  const typed = () => ({
    person,
    address: here,
    title: document.querySelector("h1").textContent,
    fields: [...new FormData(form)],
    state: "waiting",
    kept: Date.now(),
  });

  // Lets the browser show what the site has to say, under a guard that is good now.
  const showReply = async (guard) => {
    guard.value = (await answerSender.guardOf(person)) || guard.value;
    form.submit();
  };

  let submitting = false;
  const submit = async (event) => {
    event.preventDefault();
    if (submitting) return;
    submitting = true;
    const button = form.querySelector("button:not([type])");
    const guard = form.elements.namedItem("csrf_token");
    const answer = typed();
    button.disabled = true;
    let outcome = "no-signal";
    try {
      await answerQueue.keep(answer);
    } catch {
      return form.submit(); // this browser keeps nothing: an ordinary form
    }
    try {
      outcome = await answerSender.send(answer, guard.value);
      if (outcome === "taken") return location.assign(answerSender.onward(here));
      if (outcome === "refused") return await showReply(guard);
    } catch {
      // no signal: it waits
    }
    submitting = button.disabled = false;
    form.querySelector(".for-refused").hidden = true;
    await show(outcome);
  };

  const begin = async () => {
    await answerQueue.bringOver();
    const mine = form && (await answerQueue.get(person, here));
    if (mine && "sent" in form.dataset) await answerQueue.drop(person, here);
    else if (mine) refill(mine);
    await show();
    await sendAll();
  };

  if (form) form.addEventListener("submit", submit);
  if (person) {
    addEventListener("online", online);
    document.addEventListener("coming", () => show());
    begin();
  }
}
