// The answers that wait on this phone, in the browser's own database. An answer lies
// under its person and its scenario, so on a shared phone nobody meets another's. Two
// states: "waiting" for signal or sign-in, and "refused" with the sentences that say why;
// neither is ever dropped but by being taken, replaced or thrown away by its person.
// An entry of a yard sign-off is an answer of its own: its address names it, ``page`` is
// where it stands.
// Works on plain http too.
const answerQueue = (() => {
  const asked = (request) =>
    new Promise((done, failed) => {
      request.onsuccess = () => done(request.result);
      request.onerror = () => failed(request.error);
    });
  const open = () => {
    const request = indexedDB.open("even-stubble", 1);
    request.onupgradeneeded = () =>
      request.result.createObjectStore("answers", { keyPath: ["person", "address"] });
    return asked(request);
  };

  // Runs one transaction and waits until it is on the disk.
  const within = async (mode, work) => {
    const database = await open();
    try {
      const transaction = database.transaction("answers", mode, { durability: "strict" });
      const finished = new Promise((done, failed) => {
        transaction.oncomplete = done;
        transaction.onabort = () => failed(transaction.error);
      });
      const result = await work(transaction.objectStore("answers"));
      await finished;
      return result;
    } finally {
      database.close();
    }
  };

  const keep = (answer) => within("readwrite", (answers) => asked(answers.put(answer)));
  const get = (person, address) =>
    within("readonly", (answers) => asked(answers.get([person, address])));
  const drop = (person, address) =>
    within("readwrite", (answers) => asked(answers.delete([person, address])));
  const of = async (person) => {
    const all = await within("readonly", (answers) => asked(answers.getAll()));
    const own = all.filter((answer) => answer.person === person);
    return own.sort((one, other) => one.kept - other.kept);
  };

  // Notes why an answer was refused, unless it was typed anew meanwhile.
  const refuse = (answer, sentences) =>
    within("readwrite", async (answers) => {
      const now = await asked(answers.get([answer.person, answer.address]));
      if (now?.kept !== answer.kept) return;
      await asked(answers.put({ ...now, state: "refused", sentences }));
    });

  // Brings over what an older page of ours left waiting in localStorage.
  const bringOver = async () => {
    const prefix = "kept-answers/";
    const shelves = Object.keys(localStorage).filter((name) => name.startsWith(prefix));
    for (const shelf of shelves) {
      const person = shelf.slice(prefix.length);
      const left = JSON.parse(localStorage.getItem(shelf)) || {};
      for (const [address, body] of Object.entries(left)) {
        if (await get(person, address)) continue;
        const fields = [...new URLSearchParams(body)];
        await keep({ person, address, title: "", fields, state: "waiting", kept: 0 });
      }
      localStorage.removeItem(shelf);
    }
  };

  return { keep, get, drop, of, refuse, bringOver };
})();
