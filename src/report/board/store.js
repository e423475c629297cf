// The sheets as the server has them, with this page's own changes on top until the server has them too.
const Store = (() => {
  const PAUSE = 1000;
  const page = [...crypto.getRandomValues(new Uint32Array(3))].join("-");
  const known = new Map(); // the server's sheets, as they came
  let version = 0, order = [], waiting = [], sending = null, stroke = 0, watchers = [];
  const headers = () => ({ "x-pageloom-token": document.body.dataset.token });
  const pause = () => new Promise((resolve) => setTimeout(resolve, PAUSE));

  // A sheet for the page: rows as lists, cells by their symbols, and the changes that are still on their way.
  function made({ state, ...about }) {
    if (!state) return { ...about, cells: [], bySymbol: new Map(), font: null, cell: [1, 1], margin: [0, 0], spacing: [0, 0] };
    const cells = state.cells.map((cell) => ({ ...cell, rows: cell.rows.split("/") }));
    const font = state.font && structuredClone(state.font);
    if (font) font.lent = new Map(font.borrowed.map((one) => [one.symbol, { ...one, rows: one.rows.split("/") }]));
    const sheet = { ...about, ...state, cells, font, bySymbol: new Map(cells.map((cell) => [cell.symbol, cell])) };
    for (const one of waiting) if (one.deed.do && one.deed.do.sheet === about.id) Edits.apply(sheet, one.deed.do.action);
    return sheet;
  }
  const sheets = () => order.map((id) => made(known.get(id)));
  const sheet = (id) => (known.has(id) ? made(known.get(id)) : null);
  const changed = (notes) => watchers.forEach((watcher) => watcher(notes || []));

  function take(answer) {
    const notes = [];
    for (const fresh of answer.sheets) {
      const old = known.get(fresh.id);
      if (old && fresh.outside > old.outside) notes.push(`${fresh.file} was changed outside this page and was loaded again.`);
      known.set(fresh.id, fresh);
    }
    [version, order] = [answer.version, answer.order];
    waiting = waiting.filter((one) => one.version === undefined || one.version > version);
    changed(notes);
  }

  // A page in a hidden tab does not ask: browsers allow few connections at once, and another tab may need them.
  let asking = new AbortController(), shown = () => {};
  const visible = () => (document.hidden ? new Promise((resolve) => (shown = resolve)) : null);
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) return shown();
    asking.abort();
    asking = new AbortController();
  });

  async function follow() {
    for (;;) {
      await visible();
      try {
        const answer = await fetch(`/board?after=${version}`, { headers: headers(), signal: asking.signal });
        if (answer.status === 200) take(await answer.json());
        else if (answer.status !== 204) await pause();
      } catch {
        await pause();
      }
    }
  }

  // Requests an action. Drawings of one stroke that still wait become one request.
  function ask(deed) {
    const last = waiting[waiting.length - 1], one = deed.do;
    const joins = last && last !== sending && last.version === undefined && one && last.deed.do && one.action.draw && last.deed.do.action.draw;
    if (joins && last.deed.do.stroke === one.stroke && last.deed.do.sheet === one.sheet) {
      last.deed.do.action = Edits.joined(last.deed.do.action, one.action);
    } else waiting.push({ deed });
    changed();
    if (!sending) send();
  }

  async function send() {
    for (;;) {
      sending = waiting.find((one) => one.version === undefined) || null;
      if (!sending) return;
      try {
        const body = JSON.stringify({ page, ...sending.deed });
        const answer = await fetch("/board", { method: "POST", headers: { ...headers(), "content-type": "application/json" }, body });
        if (answer.status === 200) {
          sending.version = (await answer.json()).version;
          if (sending.version <= version) {
            waiting = waiting.filter((one) => one !== sending);
            changed();
          }
        } else {
          const why = answer.status === 409 ? (await answer.json()).why : "This page is out of date: load it again.";
          waiting = waiting.filter((one) => one !== sending);
          changed([why]);
        }
      } catch {
        await pause(); // `watch` is restarting; the change waits
      }
    }
  }

  const act = (sheet, action) => ask({ do: { sheet, stroke, action } });
  return {
    sheets, sheet, act, follow,
    // What follows is a step of its own for undo.
    begin: () => (stroke += 1),
    undo: () => ask({ undo: null }),
    redo: () => ask({ redo: null }),
    watch: (watcher) => watchers.push(watcher),
    settled: () => waiting.length === 0,
    version: () => version,
  };
})();
