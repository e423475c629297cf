// Pictures of a strip: the one before shines through, and they play at the show's rate.
const Frames = (() => {
  let desk = null, playing = false, at = 0, due = 0;

  // The rows of the picture before, in the order in which they play.
  const onion = (sheet, number) =>
    find("onion").checked && sheet.cells.length > 1 ? sheet.cells[(number + sheet.cells.length - 1) % sheet.cells.length].rows : null;

  function draw(sheet, number) {
    const cell = sheet.cells[number % sheet.cells.length], look = Sight.tones();
    const lit = cell.rows.flatMap((row, y) => [...row].flatMap((dot, x) => (dot === "#" ? [[x + 1, y + 1]] : [])));
    const room = find("strip").parentElement.clientWidth || 200, pitch = Math.max(1, Math.min(4, Math.floor(room / (sheet.cell[0] + 2))));
    Sight.dots(find("strip"), sheet.cell[0] + 2, sheet.cell[1] + 2, lit, look, pitch);
    find("strip").setAttribute("aria-label", `Picture ${(number % sheet.cells.length) + 1} of ${sheet.cells.length}`);
  }
  function show(sheet, number) {
    find("onion").closest("label").hidden = find("play-strip").hidden = sheet.cells.length < 2;
    find("strip-rate").textContent = sheet.cells.length < 2 ? `${sheet.cell[0]} × ${sheet.cell[1]} pixels` : `${sheet.cells.length} pictures of ${sheet.cell[0]} × ${sheet.cell[1]}, ${sheet.speed} a second`;
    if (!playing) draw(sheet, number);
  }
  function tick(time) {
    const sheet = desk.sheet();
    if (!playing || !sheet || sheet.font || !sheet.cells.length) return stop();
    if (time - due >= 1000 / sheet.speed) {
      due = time - due > 2000 / sheet.speed ? time : due + 1000 / sheet.speed;
      draw(sheet, (at += 1));
    }
    requestAnimationFrame(tick);
  }
  function stop() {
    playing = false;
    find("play-strip").textContent = "Play";
  }
  function attend(theDesk) {
    desk = theDesk;
    find("onion").addEventListener("change", () => desk.show());
    find("play-strip").addEventListener("click", () => {
      if (playing) return stop();
      [playing, at, due] = [true, desk.number, performance.now()];
      find("play-strip").textContent = "Pause";
      requestAnimationFrame(tick);
    });
  }
  return { attend, onion, show };
})();
