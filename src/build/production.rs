//! The way from a script to everything made of it: read, drawn, compiled, rehearsed; shared by the commands.

use super::{Session, Steps};
use crate::budget::{Budget, Choice, LIVE_VALUES, budgets, choose};
use crate::diag::{Checked, Finding, Findings, Place};
use crate::emit::Record;
use crate::preview::{Rehearsal, check_live, check_scenes_with_progress, rehearse};
use crate::reel::{Options, Reel};
use crate::render::{Bitmap, render, render_with_progress};
use crate::show::{Show, load, load_at};
use crate::source::Reader;
use crate::units::FrameRate;
use std::path::Path;

/// What is said of a reel that stands in for a dense one.
const PROVISIONAL: &str = "quick build with a lean reel: the picture is the same, but figures of flash, RAM and time differ from a full build and were not checked";

/// A show with everything that was made of it.
pub struct Production {
    /// The show as it was read.
    pub show: Show,
    /// What was drawn, one list a scene, in viewer space.
    pub frames: Vec<Vec<Bitmap>>,
    /// The reel, what it takes, and what others would.
    pub choice: Choice,
    /// The pictures of the preview, as the display showed them.
    pub rehearsal: Rehearsal,
    /// All figures, in the order of the report.
    pub budgets: Vec<Budget>,
}

/// A show drawn and compiled, not yet rehearsed.
pub struct Compiled {
    /// The show as it was read.
    pub show: Show,
    /// One list a scene, in viewer space.
    pub frames: Vec<Vec<Bitmap>>,
    /// The reel, what it takes, and what others would.
    pub choice: Choice,
}

/// Reads, draws and compiles a show. With `quick`, it does not search for a dense reel. `None` if a finding says why it is not
/// possible.
pub fn compiled(script: &Path, quick: bool, steps: &dyn Steps, session: &mut Session<'_>) -> Checked<Compiled> {
    let done = |all| steps.done(all);
    steps.stage("reading the script");
    let show = load(&mut session.reader, script, &mut session.findings)?;
    steps.stage("drawing frames");
    let frames = render_with_progress(&show, &done);
    steps.stage("planning scenes");
    let options = Options { quickly: quick, done: &done };
    let choice = choose(options, &show, &frames, &mut session.findings)?;
    if choice.fitted.reel.provisional {
        session.findings.push(Finding::note(Place::Nowhere, PROVISIONAL));
    }
    Some(Compiled { show, frames, choice })
}

/// Makes everything; `None` when a finding says why not. Every scene of the reel is played and compared with what was drawn.
pub fn produce(script: &Path, quick: bool, steps: &dyn Steps, session: &mut Session<'_>) -> Checked<Production> {
    let Compiled { show, frames, choice } = compiled(script, quick, steps, session)?;
    let reel = &choice.fitted.reel;
    let behind = choice.fitted.fit.falls_behind && !reel.provisional;
    let slower = if behind { slower_rate(script, &show, &mut session.reader) } else { None };
    steps.stage("playing scenes");
    let [mut checked, mut rehearsed, mut computed] = [(); 3].map(|()| Findings::default());
    let ((live, rehearsal), mut budgets) = rayon::join(
        || {
            let same = check_scenes_with_progress(&show, reel, &frames, &mut checked, &|all| steps.done(all));
            let live = if same { check_live(&show, reel, &frames, quick, &mut checked) } else { None };
            (live, rehearse(&show, reel, &frames, &mut rehearsed))
        },
        || budgets(&show, &choice, &frames, slower, &mut computed),
    );
    [checked, rehearsed, computed].into_iter().for_each(|found| session.findings.append(found));
    let live = live?.figures();
    budgets
        .iter_mut()
        .filter(|budget| budget.title == LIVE_VALUES)
        .for_each(|budget| budget.figures.extend(live.clone()));
    Some(Production { rehearsal: rehearsal?, show, frames, choice, budgets })
}

/// Frame rates to try, the fastest first.
const SLOWER_RATES: [u16; 9] = [30, 25, 20, 15, 12, 10, 8, 5, 2];

/// The fastest usual frame rate below the show's own at which it keeps time, drawn and compiled to find out.
fn slower_rate(script: &Path, show: &Show, reader: &mut Reader<'_>) -> Option<FrameRate> {
    let own = show.frame_rate().frames_per_second();
    let mut rates = SLOWER_RATES.into_iter().filter(|rate| *rate < own).filter_map(FrameRate::new);
    rates.find(|rate| {
        let mut unheard = Findings::default();
        let slower = load_at(Some(*rate), reader, script, &mut unheard);
        let choice = slower.and_then(|show| {
            let options = Options { quickly: show.profile().is_none(), done: &|_| {} };
            choose(options, &show, &render(&show), &mut unheard)
        });
        choice.is_some_and(|choice| !choice.fitted.fit.falls_behind)
    })
}

impl Production {
    /// The reel.
    pub fn reel(&self) -> &Reel {
        &self.choice.fitted.reel
    }

    /// Everything that is known of the show.
    pub fn record<'a>(&'a self, findings: &'a Findings) -> Record<'a> {
        let preview = (self.rehearsal.shown.len(), self.rehearsal.raised.as_slice());
        Record::new(&self.show, &self.choice, &self.budgets, preview, findings)
    }
}
