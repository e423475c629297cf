// The drawing board: which sheet and cell are on it, what tools do, and what is shown of them.
const Board = (() => {
  const KINDS = { fonts: "font", pictures: "picture" };
  let view = "show", shownCells = null, easel = null, wordAt = 0;
  const chosen = { font: null, picture: null }; // the sheet of each kind that was looked at last
  const desk = {
    number: 0, cursor: [0, 0],
    sheet: () => Store.sheet(chosen[KINDS[view]]),
    cell: (sheet) => (sheet && sheet.cells[desk.number]) || null,
    say: (words) => (find("pixel-said").textContent = words),
    show: () => show(),
  };
  const act = (action) => Store.act(chosen[KINDS[view]], action);

  // Applies a function to the rows of the cell and draws the result, if the cell can be changed.
  desk.redraw = (change) => {
    const sheet = desk.sheet(), cell = desk.cell(sheet);
    if (!cell || sheet.locked) return;
    const action = Edits.difference(sheet, cell, change(cell.rows, sheet));
    if (action.draw.set.length + action.draw.clear.length) act(action);
  };
  desk.paint = (pixels, on) => {
    const marks = new Set(pixels.map(String));
    desk.redraw((rows) => rows.map((row, y) => [...row].map((dot, x) => (marks.has(`${x},${y}`) ? (on ? "#" : ".") : dot)).join("")));
  };
  desk.tool = (name, way) => {
    Store.begin();
    if (name === "shift" && Part.frame()) {
      desk.redraw((rows) => Part.moved(rows, way));
      desk.say(Part.words());
      return show();
    }
    desk.redraw((rows) => (name === "shift" ? Edits.shift(rows, ...way) : Edits[name](rows)));
    desk.say(name === "shift" ? "Shifted" : { mirror: "Mirrored", flip: "Flipped", invert: "Inverted", clear: "Cleared" }[name]);
  };
  // Begins or ends the selection of a part at the cursor.
  desk.turnPart = () => {
    Part.turn();
    if (Part.on()) Part.choose(desk.cursor, desk.cursor);
    desk.say(Part.on() ? Part.words() : "No part");
    show();
  };
  desk.choose = (number) => {
    const sheet = desk.sheet();
    desk.number = Math.max(0, Math.min(number, (sheet ? sheet.cells.length : 1) - 1));
    desk.cursor = [0, 0];
    Part.drop();
    wordAt = 0;
    show();
  };
  desk.turn = (by) => {
    const beside = Frames.beside(desk.sheet(), by);
    if (beside) chosen.picture = beside.id;
    desk.choose(beside ? 0 : desk.number + by);
    const cell = desk.cell(desk.sheet());
    if (cell) desk.say(cell.name || cell.symbol);
  };

  // The places of a character in the lines of the show: line and number of the element.
  function places(sheet, cell) {
    const found = [];
    for (const line of Sight.lines(sheet, find("try").value)) {
      const set = Glyphs.layout(sheet, line).sets;
      set.forEach((one, at) => (one.glyph.symbol === cell.symbol || one.symbol === cell.symbol) && found.push({ line, set, at }));
    }
    return found;
  }
  // The surroundings of the cell: its pen and advance, the pixels of its neighbours in columns of the cell, and the next cell.
  desk.neighbours = (sheet, cell) => {
    if (!sheet.font) return { beside: [], onion: Frames.onion(sheet, desk.number) };
    const { pen, advance } = Glyphs.measures(sheet.font, cell), all = places(sheet, cell), here = all[wordAt % Math.max(1, all.length)];
    const none = { pen, advance, beside: [], next: null, before: null };
    if (!here) return none;
    const own = Glyphs.glyph(sheet, cell.symbol), kern = (a, b) => Glyphs.kerning(sheet.font, a, b);
    const other = (number, x) => {
      const { glyph, symbol } = here.set[number], pixels = Glyphs.pixels({ sets: [{ glyph, x: 0 }] });
      return { symbol: glyph.symbol || symbol, x: x(glyph), pixels: pixels.map(([column, y]) => [column + x(glyph), y - sheet.font.rise]) };
    };
    const key = own ? own.symbol : cell.symbol;
    const next = here.at + 1 < here.set.length && here.set[here.at + 1].symbol !== " " ? other(here.at + 1, (glyph) => pen + advance + kern(key, glyph.symbol || "")) : null;
    const before = here.at > 0 && here.set[here.at - 1].symbol !== " " ? other(here.at - 1, (glyph) => pen - kern(glyph.symbol || "", key) - glyph.advance) : null;
    return { ...none, next, before, beside: [before, next].filter(Boolean), word: here.line, count: all.length };
  };

  // What dragging a line to a column or row of the cell means.
  desk.drag = (name, to, { sheet, pen, advance }) => {
    if (sheet.locked) return;
    if (name === "baseline") Measures.set(name, Math.max(sheet.font.capHeight, Math.min(sheet.cell[1], to)));
    else Measures.set(name, name === "advance" ? Math.max(1, to - pen) : to - pen - advance);
  };

  function show() {
    document.body.dataset.view = view === "show" ? "show" : "board";
    for (const link of document.querySelectorAll("#views a")) {
      if (link.hash === `#${view}`) link.setAttribute("aria-current", "page");
      else link.removeAttribute("aria-current");
    }
    if (view === "show") return;
    const kind = KINDS[view], sheets = Store.sheets(), own = sheets.filter((sheet) => sheet.kind === kind);
    find("views").querySelector("[href='#pictures']").hidden = !sheets.some((sheet) => sheet.kind === "picture");
    if (!own.some((sheet) => sheet.id === chosen[kind])) chosen[kind] = own.length ? own[0].id : null;
    offer(own, kind);
    const sheet = desk.sheet(), cell = desk.cell(sheet) || (sheet && sheet.cells[(desk.number = 0)]);
    find("board").dataset.kind = kind;
    find("built").hidden = !bench;
    find("board").classList.toggle("empty", !cell);
    find("no-sheet").hidden = Boolean(cell);
    if (!sheet) return find("no-sheet").textContent = kind === "font" ? "This show has no font of its own to draw on. Copy a font that ships with pageloom: pageloom sheet new my.ron --like cleat. Then name my.ron in the fonts of the show." : "This show has no picture.";
    const why = sheet.locked || sheet.fault;
    find("locked").hidden = !why;
    find("locked").textContent = why || "";
    Frames.offerStrip(sheet);
    if (!cell) return find("no-sheet").textContent = sheet.fault || "This sheet has no cells.";
    for (const tool of document.querySelectorAll("#tools button, #tools select, #measures input, #extend")) tool.disabled = Boolean(sheet.locked);
    desk.cursor = desk.cursor.map((at, way) => Math.min(at, sheet.cell[way] - 1));
    find("part").setAttribute("aria-pressed", String(Part.on()));
    shownCells.show(sheet);
    easel.show(sheet, cell);
    find("pixels").setAttribute("aria-label", `${sheet.font ? `Glyph ${cell.name || cell.symbol}` : cell.name}, ${sheet.cell[0]} by ${sheet.cell[1]} pixels`);
    find("pixels-read").textContent = Keys.rows(cell);
    find("cell-name").textContent = sheet.font ? [cell.symbol, cell.code, cell.name].filter(Boolean).join("  ") : cell.name;
    if (sheet.font) showFont(sheet, cell);
    else Frames.show(sheet, desk.number);
  }
  function showFont(sheet, cell) {
    const { word, count } = desk.neighbours(sheet, cell), { lacking, faults } = sheet.font;
    find("word").textContent = word ? `in “${word.trim()}”` : "in no line of the show";
    find("next-word").hidden = !(count > 1);
    find("extend").hidden = !lacking.length;
    find("extend").textContent = `Make ${lacking.length} cell${lacking.length === 1 ? "" : "s"}`;
    const blank = sheet.cells.filter((one) => !Glyphs.drawn(one)).length;
    find("coverage").textContent = [lacking.length ? `No cell yet for ${lacking.join(" ")}` : "", blank ? `${blank} of ${sheet.cells.length} cells not drawn yet` : `${sheet.cells.length} glyphs`].filter(Boolean).join(". ");
    find("font-faults").replaceChildren(...faults.slice(0, 4).map((fault) => Object.assign(document.createElement("li"), { textContent: fault })));
    Sight.showLines(find("lines"), sheet, cell, find("try").value);
    Sight.showLookAlikes(find("look-alikes"), sheet, cell);
    Measures.show(sheet, cell, desk.neighbours(sheet, cell));
  }

  // Sets the options of a list only if they changed, so that an open list stays open.
  function options(select, entries, value) {
    const look = JSON.stringify(entries);
    if (select.dataset.look !== look) {
      select.replaceChildren(...entries.map(([id, words]) => new Option(words, id)));
      select.dataset.look = look;
    }
    if (value !== undefined && value !== null) select.value = value;
  }
  function offer(sheets, kind) {
    find("sheet").closest("label").hidden = !sheets.length;
    options(find("sheet"), sheets.map((sheet) => [sheet.id, [sheet.name, sheet.file].filter(Boolean).join(": ")]), chosen[kind]);
    const lenders = kind === "font" ? Store.sheets().filter((sheet) => sheet.kind === "shipped") : [];
    options(find("from-sheet"), [...sheets, ...lenders].map((sheet) => [sheet.id, sheet.name || sheet.file]));
    const from = Store.sheet(find("from-sheet").value);
    options(find("from-cell"), from ? from.cells.map((cell, number) => [String(number), from.font ? cell.symbol : cell.name]) : []);
  }
  // Copies a cell of any sheet into this one, baseline on baseline.
  function copy() {
    const from = Store.sheet(find("from-sheet").value), cell = from && from.cells[Number(find("from-cell").value)];
    if (!cell) return;
    Store.begin();
    desk.redraw((rows, sheet) => Edits.copied(rows, cell.rows, sheet.font && from.font ? sheet.font.baseline - from.font.baseline : 0));
    desk.say("Copied");
  }

  function turnTo(hash) {
    view = hash === "#fonts" || hash === "#pictures" ? hash.slice(1) : document.body.dataset.font === undefined ? "show" : "fonts";
    desk.number = 0;
    Part.drop();
    show();
    // A show that was not viewed yet begins with an empty picture. A later scene shows more.
    if (bench && view !== "show" && bench.fresh()) bench.visit(bench.now());
    else if (bench) bench.draw();
    // An element that was hidden until now could not get the focus.
    const target = view === "show" && hash.length > 1 && find(hash.slice(1));
    if (target) target.scrollIntoView();
  }

  function start() {
    easel = Easel(find("pixels"), desk);
    shownCells = Cells(find("cells"), desk);
    Keys.attend(find("pixels"), desk);
    Measures.attend(desk, act);
    Frames.attend(desk);
    const press = (id, deed) => find(id).addEventListener("click", deed);
    press("undo", Store.undo);
    press("redo", Store.redo);
    press("part", desk.turnPart);
    press("copy", copy);
    press("board-play", () => bench && bench.play());
    press("next-word", () => ((wordAt += 1), show()));
    press("extend", () => {
      Store.begin();
      act({ extend: { symbols: desk.sheet().font.lacking } });
    });
    for (const button of document.querySelectorAll("#tools [data-tool]")) {
      const way = button.dataset.way && button.dataset.way.split(" ").map(Number);
      button.addEventListener("click", () => desk.tool(button.dataset.tool, way));
    }
    find("sheet").addEventListener("change", () => {
      chosen[KINDS[view]] = find("sheet").value;
      desk.choose(0);
    });
    find("from-sheet").addEventListener("change", show);
    find("try").addEventListener("input", () => ((wordAt = 0), show()));
    find("board").addEventListener("keydown", (event) => event.stopPropagation());
    Store.watch((notes) => {
      document.body.dataset.settled = Store.settled() ? "yes" : "no";
      const first = find("board").classList.contains("empty");
      if (notes.length) find("board-said").textContent = notes.join(" ");
      if (view === "show") return;
      show();
      if (first && bench) bench.draw();
    });
    addEventListener("resize", show);
    addEventListener("hashchange", () => turnTo(location.hash));
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", show);
    turnTo(location.hash);
    Store.follow();
  }
  // The display next to the glyph, with its scenes. `draw` gets its canvas.
  function mirrored(draw) {
    if (view === "show") return;
    find("built").hidden = false;
    const holder = find("board-scenes"), look = bench.scenes.join("\n");
    if (holder.dataset.look !== look) {
      holder.dataset.look = look;
      holder.replaceChildren(...bench.scenes.map((name) => {
        const button = Object.assign(document.createElement("button"), { type: "button", textContent: name });
        button.addEventListener("click", () => bench.visit(name));
        return button;
      }));
    }
    for (const button of holder.children) button.setAttribute("aria-pressed", String(button.textContent === bench.now()));
    draw(find("mirror"));
  }
  return { start, desk, mirrored, played: (playing) => (find("board-play").textContent = playing ? "Pause" : "Play"), };
})();
