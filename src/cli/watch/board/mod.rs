//! The drawing board of a served page: the sheets and pictures of a show, changed on disk as the page asks, with undo.

mod journal;
mod places;
mod request;
mod safety;
#[cfg(test)]
mod tests;

pub use request::{LONGEST_BODY, Request};

use crate::build::OutputFile;
use crate::cli::write::write_all;
use crate::drawing::{DrawingSheet, Papers, Part, SheetFiles, backwards, changed, is_ink, state};
use crate::source::{Disk, Files};
use journal::{Journal, JournalStep};
use places::{SheetPlace, places};
use request::Deed;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use tokio::sync::watch::Sender;
use tokio::time::timeout;

/// Version numbers of one run begin at a multiple of this, so that those of an earlier run are other ones. A JavaScript number
/// holds all of them exactly (53 bits).
const RUN: u64 = 1 << 20;
/// How often a change is tried again when another program saves at the same moment.
const TRIES: u32 = 5;

/// What is watched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WatchedFile {
    Show(PathBuf),
    Font(PathBuf),
}

impl WatchedFile {
    /// The file that was named.
    pub fn path(&self) -> &Path {
        match self {
            WatchedFile::Show(path) | WatchedFile::Font(path) => path,
        }
    }
}

/// The sheets, and whether a page can change them.
pub struct Board {
    watched: WatchedFile,
    read_only: bool,
    /// What a page shows to prove that this process served it.
    token: String,
    sheets: Mutex<Sheets>,
    version: Sender<u64>,
    /// How often pages changed a sheet.
    changes: AtomicU64,
}

#[derive(Default)]
struct Sheets {
    all: Vec<BoardEntry>,
    journal: Journal,
}

/// One sheet as it was last read.
struct BoardEntry {
    place: SheetPlace,
    /// The last one that could be read.
    sheet: Option<DrawingSheet>,
    /// Why it cannot be read now.
    fault: Option<String>,
    /// The version of the board at its last change.
    version: u64,
    /// How often others changed it.
    outside: u32,
    papers: Papers,
}

/// Why a request was not done, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal(pub String);

impl Board {
    /// A board with no sheets yet; `Err` when the system has no random numbers to give.
    pub fn new(watched: WatchedFile, read_only: bool) -> Result<Self, String> {
        let mut random = [0; 20];
        getrandom::fill(&mut random).map_err(|why| format!("no random numbers for the page's token: {why}"))?;
        let token = random[..16].iter().map(|byte| format!("{byte:02x}")).collect();
        let run = u64::from(u32::from_le_bytes([random[16], random[17], random[18], random[19]]));
        Ok(Self {
            watched,
            read_only,
            token,
            sheets: Mutex::default(),
            version: Sender::new(run * RUN),
            changes: AtomicU64::new(0),
        })
    }

    /// What a page needs to ask.
    pub fn token(&self) -> &str {
        &self.token
    }
    /// Whether a token is that of this process.
    pub fn is_own(&self, token: &str) -> bool {
        same_text(token, &self.token)
    }
    /// How often pages changed a sheet so far.
    pub fn changes(&self) -> u64 {
        self.changes.load(Ordering::Relaxed)
    }
    /// What is watched.
    pub fn watched(&self) -> &WatchedFile {
        &self.watched
    }

    /// A panic elsewhere leaves whole entries, since each is replaced at once.
    fn lock(&self) -> MutexGuard<'_, Sheets> {
        self.sheets.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Reads all sheets again. Sheets that differ from the known ones were changed by other programs.
    pub fn refresh(&self, files: &dyn Files) {
        let mut sheets = self.lock();
        let next = *self.version.borrow() + 1;
        if let Some(places) = places(&self.watched, files) {
            let same = sheets.all.iter().map(|entry| &entry.place.id).eq(places.iter().map(|place| &place.id));
            let mut old = std::mem::take(&mut sheets.all);
            for place in places {
                let known = old.iter().position(|entry| entry.place.id == place.id).map(|at| old.swap_remove(at));
                let fresh = || BoardEntry {
                    place: place.clone(),
                    sheet: None,
                    fault: None,
                    version: next,
                    outside: 0,
                    papers: Papers::new(),
                };
                let mut entry = known.unwrap_or_else(fresh);
                if entry.place != place {
                    (entry.place, entry.version) = (place, next);
                }
                sheets.all.push(entry);
            }
            if !same {
                sheets.all.iter_mut().for_each(|entry| entry.version = next);
            }
        }
        for entry in &mut sheets.all {
            entry.read(files, next);
        }
        let newest = sheets.all.iter().map(|entry| entry.version).max();
        if newest == Some(next) {
            self.version.send_replace(next);
        }
    }

    /// What changed after a version, as JSON; everything, for a version of another run. `None` when nothing does in time.
    pub async fn after(&self, version: u64, patience: Duration) -> Option<Value> {
        let mut now = self.version.subscribe();
        timeout(patience, now.wait_for(|now| *now != version)).await.ok()?.ok()?;
        Some(self.since(version))
    }

    fn since(&self, version: u64) -> Value {
        let sheets = self.lock();
        let now = *self.version.borrow();
        let known = version <= now && version / RUN == now / RUN;
        let order: Vec<&str> = sheets.all.iter().map(|entry| entry.place.id.as_str()).collect();
        let newer = sheets.all.iter().filter(|entry| !known || entry.version > version);
        let newer: Vec<Value> = newer.map(|entry| entry.json(self.locked(entry))).collect();
        json!({"version": now, "order": order, "sheets": newer})
    }

    /// Why a sheet cannot be changed.
    fn locked(&self, entry: &BoardEntry) -> Option<String> {
        if self.read_only {
            return Some("This page is read-only: `watch` was started with --read-only.".into());
        }
        let folder = self.watched.path().parent().unwrap_or(Path::new(""));
        let paths = entry.place.ron.iter().chain([&entry.place.png]);
        entry.place.locked.clone().or_else(|| paths.filter_map(|path| safety::real(folder, path).err()).next())
    }

    /// Does what a page asks for, on disk; the new version.
    pub fn act(&self, request: &Request) -> Result<u64, Refusal> {
        let mut sheets = self.lock();
        let id = match &request.deed {
            Deed::Do { sheet, .. } => sheet.clone(),
            Deed::Undo => sheets.journal.last_done(&request.page).map(|step| step.sheet.clone()).ok_or_else(nothing)?,
            Deed::Redo => {
                sheets.journal.last_undone(&request.page).map(|step| step.sheet.clone()).ok_or_else(nothing)?
            }
        };
        let Sheets { all, journal } = &mut *sheets;
        let entry = all.iter_mut().find(|entry| entry.place.id == id);
        let entry = entry.ok_or_else(|| Refusal("this sheet is no longer part of the show".into()))?;
        if let Some(why) = self.locked(entry) {
            return Err(Refusal(why));
        }
        let next = *self.version.borrow() + 1;
        let parts = self.change(entry, &request.deed, journal, &request.page, next).map_err(Refusal)?;
        match &request.deed {
            Deed::Do { stroke, .. } => journal.done(&request.page, JournalStep { sheet: id, stroke: *stroke, parts }),
            Deed::Undo => journal.undo(&request.page),
            Deed::Redo => journal.redo(&request.page),
        }
        if entry.version == next {
            self.version.send_replace(next);
            self.changes.fetch_add(1, Ordering::Relaxed);
        }
        Ok(*self.version.borrow())
    }

    /// Changes the files of a sheet; once more from the start when another program saved it meanwhile.
    fn change(
        &self,
        entry: &mut BoardEntry,
        deed: &Deed,
        journal: &Journal,
        page: &str,
        next: u64,
    ) -> Result<Vec<Part>, String> {
        for _ in 0..TRIES {
            entry.read(&Disk, next);
            if let Some(fault) = &entry.fault {
                return Err(fault.clone());
            }
            let sheet = entry.sheet.as_ref().ok_or("this sheet cannot be read")?;
            let parts = match deed {
                Deed::Do { action, .. } => action.parts(sheet, &entry.papers)?,
                Deed::Undo => journal.last_done(page).map_or(Vec::new(), |step| backwards(&step.parts)),
                Deed::Redo => journal.last_undone(page).map_or(Vec::new(), |step| step.parts.clone()),
            };
            let files = changed(sheet, &parts)?;
            if files == sheet.files {
                return Ok(parts);
            }
            let before = sheet.font.as_ref().map_or(0, |font| font.errors);
            let made = entry.place.read(&entry.over(&files))?;
            if let Some(font) = made.font.as_ref().filter(|font| font.errors > before) {
                return Err(font.faults.last().cloned().unwrap_or_default());
            }
            if entry.place.bytes_now(&Disk) != entry.place.bytes_of(&sheet.files) {
                continue;
            }
            self.write(entry, &files)?;
            entry.remember(&parts);
            (entry.sheet, entry.version) = (Some(made), next);
            return Ok(parts);
        }
        Err("another program keeps saving this sheet; try again".into())
    }

    fn write(&self, entry: &BoardEntry, files: &SheetFiles) -> Result<(), String> {
        let folder = self.watched.path().parent().unwrap_or(Path::new(""));
        let old = entry.sheet.as_ref().map(|sheet| &sheet.files);
        let mut out = Vec::new();
        let mut add = |path: &Path, bytes: Vec<u8>| {
            out.push(OutputFile { path: safety::real(folder, path)?, bytes, firmware: false });
            Ok::<(), String>(())
        };
        if old.is_none_or(|old| old.png != files.png) {
            add(&entry.place.png, files.png.clone())?;
        }
        if let (Some(path), Some(ron)) = (&entry.place.ron, &files.ron)
            && old.is_none_or(|old| old.ron != files.ron)
        {
            add(path, entry.place.ron_bytes(ron, &Disk))?;
        }
        write_all(&out, true).map_err(|finding| finding.message)
    }
}

impl BoardEntry {
    /// Reads the sheet; a version of its own where it differs from what is known.
    fn read(&mut self, files: &dyn Files, next: u64) {
        if self.place.shipped.is_some() && self.sheet.is_some() {
            return; // it never changes
        }
        match self.place.read(files) {
            Ok(sheet) => {
                let lent = |sheet: &DrawingSheet| {
                    sheet.font.as_ref().map(|font| (font.faults.clone(), font.font.as_ref().map(|font| font.height())))
                };
                let known = self.sheet.as_ref();
                let same = known.is_some_and(|known| known.files == sheet.files && known.grid == sheet.grid);
                if !same || self.fault.is_some() || known.map(lent) != Some(lent(&sheet)) {
                    self.outside += u32::from(known.is_some() && !same);
                    (self.sheet, self.fault, self.version) = (Some(sheet), None, next);
                }
            }
            Err(why) if self.fault.as_ref() != Some(&why) => (self.fault, self.version) = (Some(why), next),
            Err(_) => {}
        }
    }

    /// The disk with some files of this sheet in place of its own.
    fn over<'a>(&'a self, files: &'a SheetFiles) -> impl Files + 'a {
        places::Over { place: &self.place, files }
    }

    /// Keeps the colours of the paper under pixels that became ink.
    fn remember(&mut self, parts: &[Part]) {
        let Some(rule) = self.sheet.as_ref().map(|sheet| sheet.rule) else { return };
        for part in parts {
            if let Part::Pixel { at, before, after } = part
                && is_ink(&rule, *after)
                && !is_ink(&rule, *before)
            {
                self.papers.insert(*at, *before);
            }
        }
    }

    fn json(&self, locked: Option<String>) -> Value {
        let place = &self.place;
        let state = self.sheet.as_ref().map(|sheet| state(sheet, &place.lines));
        let kind = match (place.shipped, &place.ron) {
            (Some(_), _) => "shipped",
            (None, Some(_)) => "font",
            (None, None) => "picture",
        };
        json!({
            "id": place.id, "name": place.name, "file": place.file_name(), "kind": kind,
            "speed": place.pictures_a_second, "series": place.series, "locked": locked, "fault": self.fault, "outside": self.outside, "state": state,
        })
    }
}

fn nothing() -> Refusal {
    Refusal("There is nothing to undo or redo.".into())
}

/// Whether two texts are the same, in a time that does not depend on where they differ.
fn same_text(one: &str, other: &str) -> bool {
    one.len() == other.len() && one.bytes().zip(other.bytes()).fold(0, |differs, (a, b)| differs | (a ^ b)) == 0
}
