// Has the service worker keep practice pages for places without signal: the ones that
// are opened, and a few that are laid ready. Only on https and localhost; elsewhere
// browsers have no service worker, and the page says so.
{
  const form = document.querySelector("form[data-lay-ready]");
  const entries = document.querySelector("form[data-entry]"); // of a yard sign-off
  const worker = navigator.serviceWorker;
  const hints = (name, shown) => {
    for (const one of document.querySelectorAll(`[data-${name}]`)) one.hidden = !shown;
  };
  const html = { headers: { Accept: "text/html" } };

  const controlled = async () => {
    await worker.register("/service-worker.js");
    if (worker.controller) return;
    await new Promise((done) =>
      worker.addEventListener("controllerchange", done, { once: true }),
    );
  };

  const keptAlready = async (path) => caches.match(path, { ignoreVary: true });

  // Lays ready what is missing and looks at the list again.
  const coming = async () => {
    const body = new URLSearchParams(new FormData(form));
    const reply = await fetch(form.action, { ...html, method: "POST", body });
    const page = new DOMParser().parseFromString(await reply.text(), "text/html");
    return page.querySelector("#coming");
  };

  const showComing = (fresh) => {
    const shown = document.querySelector("#coming");
    if (shown && shown.innerHTML !== fresh.innerHTML) {
      shown.replaceChildren(...fresh.cloneNode(true).childNodes);
      document.dispatchEvent(new Event("coming"));
    }
  };

  const layReady = async () => {
    const fresh = await coming();
    if (!fresh) return;
    showComing(fresh);
    const links = [...fresh.querySelectorAll("ul.waiting a")];
    const paths = links.map((link) => link.getAttribute("href"));
    await fetch("/practice", html);
    for (const path of paths) {
      if (!(await keptAlready(path))) await fetch(path, html);
    }
    hints("at-hand", true);
    document.documentElement.dataset.atHand = paths.length;
  };

  const begin = async () => {
    try {
      await controlled();
      if (form) await layReady();
      if (entries) await fetch(location.pathname, html);
    } catch {
      // no signal, or a browser that keeps no pages: what is open still works
    }
  };

  hints("not-at-hand", !worker);
  hints("needs-worker", Boolean(worker));
  if (worker && (form || entries || document.querySelector("form[data-keep]"))) begin();
}
