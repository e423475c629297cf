// Pictures of a strip: the previous one is shown faintly, and they play at the rate of the show.
const Frames = (() => {
  let desk = null, playing = false, at = 0, due = 0;

  // The sheets whose pictures are shown one after another: a strip alone, or the files of a series.
  const series = (sheet) => (sheet.series ? Store.sheets().filter((one) => one.series === sheet.series) : [sheet]);
  // All of their pictures, and the index of a sheet's picture among them.
  function pictures(sheet, number) {
    const sheets = series(sheet), own = sheets.findIndex((one) => one.id === sheet.id);
    const before = sheets.slice(0, own).reduce((count, one) => count + one.cells.length, 0);
    return { all: sheets.flatMap((one) => one.cells), place: before + number };
  }
  // The sheet before or after one in a series.
  const beside = (sheet, by) => (sheet.series ? series(sheet)[series(sheet).findIndex((one) => one.id === sheet.id) + by] : undefined);

  // The rows of the picture before, in the order in which they play.
  function onion(sheet, number) {
    const { all, place } = pictures(sheet, number);
    return find("onion").checked && all.length > 1 ? all[(place + all.length - 1) % all.length].rows : null;
  }

  function draw(sheet, all, place) {
    const number = place % all.length, look = Sight.tones();
    const lit = all[number].rows.flatMap((row, y) => [...row].flatMap((dot, x) => (dot === "#" ? [[x + 1, y + 1]] : [])));
    const room = find("strip").parentElement.clientWidth || 200, pitch = Math.max(1, Math.min(4, Math.floor(room / (sheet.cell[0] + 2))));
    Sight.dots(find("strip"), sheet.cell[0] + 2, sheet.cell[1] + 2, lit, look, pitch);
    find("strip").setAttribute("aria-label", `Picture ${number + 1} of ${all.length}`);
  }
  function show(sheet, number) {
    const { all, place } = pictures(sheet, number), size = `${sheet.cell[0]} × ${sheet.cell[1]}`;
    find("onion").closest("label").hidden = find("play-strip").hidden = all.length < 2;
    find("strip-rate").textContent = all.length < 2 ? `${size} pixels` : `${all.length} pictures of ${size}, ${sheet.speed} a second`;
    if (!playing) draw(sheet, all, place);
  }
  // The pictures of a file that is not a PNG, side by side, to be saved as a PNG.
  function asStrip(sheet) {
    const [width, height] = sheet.cell, canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [width * sheet.cells.length, height];
    const paper = canvas.getContext("2d");
    paper.fillRect(0, 0, canvas.width, height);
    paper.fillStyle = "white";
    sheet.cells.forEach(({ rows }, number) => rows.forEach((row, y) => [...row].forEach((dot, x) => dot === "#" && paper.fillRect(number * width + x, y, 1, 1))));
    return canvas.toDataURL("image/png");
  }
  function offerStrip(sheet) {
    const holder = find("as-strip"), link = holder.querySelector("a");
    holder.hidden = Boolean(sheet.font) || !sheet.cells.length || /\.png$/i.test(sheet.file);
    if (holder.hidden) return;
    link.download = sheet.file.replace(/\.[^.]*$/, ".png");
    link.onclick = () => (link.href = asStrip(desk.sheet()));
    holder.querySelector("code:last-of-type").textContent = `columns: ${sheet.cell[0]}`;
  }

  function tick(time) {
    const sheet = desk.sheet();
    if (!playing || !sheet || sheet.font || !sheet.cells.length) return stop();
    if (time - due >= 1000 / sheet.speed) {
      due = time - due > 2000 / sheet.speed ? time : due + 1000 / sheet.speed;
      draw(sheet, pictures(sheet, 0).all, (at += 1));
    }
    requestAnimationFrame(tick);
  }
  function stop() {
    playing = false;
    find("play-strip").textContent = "Play strip";
  }
  function attend(theDesk) {
    desk = theDesk;
    find("onion").addEventListener("change", () => desk.show());
    find("play-strip").addEventListener("click", () => {
      if (playing) return stop();
      [playing, at, due] = [true, pictures(desk.sheet(), desk.number).place, performance.now()];
      find("play-strip").textContent = "Pause strip";
      requestAnimationFrame(tick);
    });
  }
  return { attend, beside, offerStrip, onion, show };
})();
