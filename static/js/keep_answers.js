// Keeps an answer on the phone while there is no signal and sends it when there is.
//
// Works on forms with data-keep="<person id>": on a shared phone everyone's answers wait
// under their own id and go out only while that person is signed in. The page's own
// hidden key makes an answer that arrives twice count once. Without this script the
// form is an ordinary form.
{
  const form = document.querySelector("form[data-keep]");
  const shelf = (person) => `kept-answers/${person}`;

  const waiting = (person) => {
    try {
      return JSON.parse(localStorage.getItem(shelf(person))) || {};
    } catch {
      return {};
    }
  };
  const store = (person, answers) => {
    if (Object.keys(answers).length) {
      localStorage.setItem(shelf(person), JSON.stringify(answers));
    } else {
      localStorage.removeItem(shelf(person));
    }
  };
  const keep = (person, address, body) =>
    store(person, { ...waiting(person), [address]: body });
  const forget = (person, address) => {
    const { [address]: _sent, ...rest } = waiting(person);
    store(person, rest);
  };

  // Sends one answer with the guard of the page that is open now; the guard it was
  // written under may have ended with its sign-in.
  const send = async (address, body, guard) => {
    const fields = new URLSearchParams(body);
    if (guard) fields.set("csrf_token", guard);
    return fetch(address, { method: "POST", body: fields });
  };

  // Only the way to the explanation says that an answer was kept; being led to the
  // sign-in says that it was not.
  const taken = (answer, address) =>
    answer.redirected && new URL(answer.url).pathname === `${address}/explained`;

  const showWaiting = (person) => {
    const note = form && form.querySelector(".for-no-signal");
    if (note) note.hidden = !(location.pathname in waiting(person));
  };

  const sendAll = async (person, guard) => {
    for (const [address, body] of Object.entries(waiting(person))) {
      let answer;
      try {
        answer = await send(address, body, guard);
      } catch {
        return showWaiting(person);
      }
      if (taken(answer, address) || answer.status === 404 || answer.status === 422) {
        forget(person, address);
        if (address === location.pathname) location.replace(answer.url);
      }
    }
    showWaiting(person);
  };

  const submit = async (event) => {
    event.preventDefault();
    const person = form.dataset.keep;
    const address = new URL(form.action).pathname;
    const body = new URLSearchParams(new FormData(form)).toString();
    const button = form.querySelector("button:not([type])");
    keep(person, address, body);
    button.disabled = true;
    try {
      const answer = await send(address, body);
      if (taken(answer, address) || answer.status === 422) forget(person, address);
      if (answer.redirected) {
        location.assign(answer.url);
      } else {
        form.submit(); // let the browser show what the site has to say
      }
    } catch {
      showWaiting(person);
    }
    button.disabled = false;
  };

  const person = document.querySelector("[data-person]")?.dataset.person;
  const guard = () => document.querySelector("input[name=csrf_token]")?.value;
  if (form) form.addEventListener("submit", submit);
  if (person) {
    addEventListener("online", () => sendAll(person, guard()));
    setInterval(() => sendAll(person, guard()), 20000);
    sendAll(person, guard());
  }
}
