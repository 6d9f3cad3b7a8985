// Runs beside the pages on https and localhost. Keeps style sheet, script and the page
// for no signal, and one person's own pages: the list of practice and unanswered
// scenarios, never an explanation, and the open yard sign-offs of a lead. They go when
// anybody signs in or out, when a page of somebody else comes in, and after the idle time
// of a sign-in. The site puts VERSION and SHELL before this text; a new version throws
// the old one's caches away.
const SHELL_CACHE = `shell-${VERSION}`;
const OWN_CACHE = `own-${VERSION}`;
const NOTE = "/whose-pages";
const OFFLINE = "/offline";
const SCENARIO = /^\/practice\/[0-9a-f]{32}$/;
const YARD = /^\/yard\/[0-9a-f]{32}$/;
const CHANGES_READER = /^\/(sign-in|sign-out|reader|slip\/.*)$/;

const forgetPages = () => caches.delete(OWN_CACHE);
const isKept = (path) => path === "/practice" || SCENARIO.test(path) || YARD.test(path);

const whose = async () => {
  const cache = await caches.open(OWN_CACHE);
  const note = await cache.match(NOTE);
  return note ? note.json() : null;
};
const noteWhose = async (person, seconds) => {
  const cache = await caches.open(OWN_CACHE);
  const body = JSON.stringify({ person, seconds, seen: Date.now() });
  await cache.put(NOTE, new Response(body));
};

const dropPage = async (path) => (await caches.open(OWN_CACHE)).delete(path);

const keepPage = async (path, person, reply) => {
  await noteWhose(person, Number(reply.headers.get("Keep-Seconds")));
  await (await caches.open(OWN_CACHE)).put(path, reply);
};

// Looks at a page that came in: whose it is, and whether to keep it.
const look = async (path, reply) => {
  if (reply.type === "opaqueredirect" || reply.redirected) {
    if (SCENARIO.test(path)) await dropPage(path); // answered, or signed out
    if (reply.type === "opaqueredirect") return;
  }
  const person = reply.headers.get("Page-Of");
  if (person === null) return;
  const known = await whose();
  if (known && known.person !== person) await forgetPages();
  const keep = reply.ok && !reply.redirected && reply.headers.has("Keep-Seconds");
  if (person && keep && isKept(path)) await keepPage(path, person, reply.clone());
  else if (YARD.test(path)) await dropPage(path); // signed: nothing more to enter
};

const keptPage = async (path) => {
  const known = isKept(path) ? await whose() : null;
  if (!known) return undefined;
  if (Date.now() - known.seen > known.seconds * 1000) {
    await forgetPages();
    return undefined;
  }
  await noteWhose(known.person, known.seconds);
  return (await caches.open(OWN_CACHE)).match(path, { ignoreVary: true });
};

const offlinePage = async () =>
  (await caches.match(OFFLINE, { ignoreVary: true })) ?? Response.error();

// Back to a page that answered a form: the browser neither sends the form again nor
// asks the site, so the page is asked for anew.
const anew = (request) =>
  request.cache === "only-if-cached"
    ? new Request(request.url, { headers: request.headers, redirect: "manual" })
    : request;

const page = async (request, path) => {
  let reply;
  try {
    reply = await fetch(anew(request));
  } catch {
    return (await keptPage(path)) ?? (await offlinePage());
  }
  await look(path, reply);
  return reply;
};

const shell = async (request) =>
  (await caches.match(request, { ignoreVary: true })) ?? fetch(request);

const sent = async (request, path) => {
  if (CHANGES_READER.test(path)) await forgetPages();
  try {
    const reply = await fetch(request);
    const answered = reply.redirected || reply.type === "opaqueredirect";
    if (answered && SCENARIO.test(path)) await dropPage(path);
    return reply;
  } catch (lost) {
    if (request.cache === "only-if-cached") return page(request, path);
    if (request.mode === "navigate") return offlinePage();
    throw lost;
  }
};

addEventListener("install", (event) => {
  const fill = async () => {
    const cache = await caches.open(SHELL_CACHE);
    await cache.addAll(SHELL);
    await skipWaiting();
  };
  event.waitUntil(fill());
});

addEventListener("activate", (event) => {
  const ours = [SHELL_CACHE, OWN_CACHE];
  const tidy = async () => {
    const names = await caches.keys();
    const old = names.filter((name) => /^(shell|own)-/.test(name) && !ours.includes(name));
    await Promise.all(old.map((name) => caches.delete(name)));
    await clients.claim();
  };
  event.waitUntil(tidy());
});

addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (origin !== location.origin) return;
  if (request.method === "POST") event.respondWith(sent(request, pathname));
  if (request.method !== "GET") return;
  const wantsPage = request.headers.get("Accept")?.includes("text/html");
  if (SHELL.includes(pathname)) event.respondWith(shell(request));
  else if (request.mode === "navigate" || wantsPage) {
    event.respondWith(page(request, pathname));
  }
});
