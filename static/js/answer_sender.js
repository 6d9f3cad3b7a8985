// Sends answers that wait. An answer goes out only while its own person is signed in,
// with a fresh guard of that very sign-in; the form's hidden key and the site's rule of
// one answer to a part make one that arrives twice count once.
const answerSender = (() => {
  // Where a taken answer leads: a scenario to its explanation, a question of an
  // assessment to the assessment, which leads on to the next question, an entry of the
  // yard to its list.
  const onward = (address) => {
    if (address.startsWith("/assessments/")) return address.replace(/\/\d+$/, "");
    if (address.startsWith("/yard/")) return address.replace(/\/items\/.*$/, "");
    return `${address}/explained`;
  };

  // Only the way onward says that an answer was kept; being led to the sign-in says
  // that it was not.
  const taken = (reply, address) => {
    if (!reply.redirected) return false;
    const path = new URL(reply.url).pathname;
    const next = path.replace(/\/\d+$/, "");
    return path !== address && [path, next].includes(onward(address));
  };

  const guardOf = async (person) => {
    const reply = await fetch("/practice/guard", { cache: "no-store" });
    if (!reply.ok) throw new Error("no guard");
    const said = await reply.json();
    return said.person === person ? said.guard : null;
  };

  const sentencesIn = (text) => {
    const page = new DOMParser().parseFromString(text, "text/html");
    const said = [...page.querySelectorAll("main .error:not(template *)")];
    return said.map((one) => one.textContent.trim()).filter(Boolean);
  };

  const post = async (answer, guard) => {
    const fields = new URLSearchParams(answer.fields);
    fields.set("csrf_token", guard);
    const reply = await fetch(answer.address, { method: "POST", body: fields });
    if (taken(reply, answer.address)) {
      await answerQueue.drop(answer.person, answer.address);
      return "taken";
    }
    const stale = reply.redirected || reply.status === 400;
    if (stale || reply.status === 429 || reply.status >= 500) {
      return stale ? "stale" : "later";
    }
    await answerQueue.refuse(answer, sentencesIn(await reply.text()));
    return "refused";
  };

  // taken, refused, "later" when the site cannot take it now, or "signed-out".
  // Throws when there is no signal. ``guard`` is the page's own; it may be stale.
  const send = async (answer, guard) => {
    const first = guard ? await post(answer, guard) : "stale";
    if (first !== "stale") return first;
    const fresh = await guardOf(answer.person);
    if (!fresh) return "signed-out";
    const second = await post(answer, fresh);
    return second === "stale" ? "later" : second;
  };

  // Sends all of a person in the order they were given; the outcome by address, and what
  // stopped it. Of one page's entries none overtakes one that the site takes later.
  const sendAll = async (person) => {
    const outcomes = new Map();
    const held = new Set();
    try {
      for (const answer of await answerQueue.of(person)) {
        if (answer.state !== "waiting" || held.has(answer.page)) continue;
        const outcome = await send(answer);
        if (outcome === "signed-out") return { outcomes, stopped: outcome };
        outcomes.set(answer.address, outcome);
        if (answer.page && outcome === "later") held.add(answer.page);
      }
    } catch {
      return { outcomes, stopped: "no-signal" };
    }
    return { outcomes, stopped: "" };
  };

  return { guardOf, onward, send, sendAll };
})();
