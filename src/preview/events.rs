//! A list of timed triggers and live values, read from a file, that a preview follows in place of the usual way through all scenes.

use crate::diag::{Finding, Findings, Place, nearest};
use crate::show::{LiveId, Show, TriggerId};
use crate::source::{Fields, Placed, ReadRecord, Reader, out_of_range, parse, report_wrong};
use crate::whole::rounded;
use std::path::Path;

/// Seconds that a preview may last.
const SECONDS: (f64, f64) = (0.05, 600.0);
/// Seconds that play on after the last trigger when the file does not say.
const USUAL_REST: f64 = 5.0;

/// Triggers and the frames they come before, ascending, and how many frames are played in all.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Events {
    /// The frame before which a trigger is raised, and the trigger; ascending by frame.
    pub raised: Vec<(u32, TriggerId)>,
    /// Live values that are set: the frame before which, and the value; ascending by frame.
    pub set: Vec<(u32, LiveId, i16)>,
    /// How many frames are played.
    pub frames: u32,
}

/// `Trigger(at: 3.5, name: "leak")`.
struct Timed {
    at: Placed<f64>,
    name: Placed<String>,
}

impl ReadRecord for Timed {
    const NAME: &'static str = "Trigger";
    fn from_fields(fields: &mut Fields<'_>, findings: &mut Findings) -> Option<Self> {
        let (at, name) = (fields.required("at", findings), fields.required("name", findings));
        Some(Self { at: at?, name: name? })
    }
}

/// `Value(at: 3.5, name: "level", value: 40)`.
struct TimedValue {
    timed: Timed,
    value: Placed<f64>,
}

impl ReadRecord for TimedValue {
    const NAME: &'static str = "Value";
    fn from_fields(fields: &mut Fields<'_>, findings: &mut Findings) -> Option<Self> {
        let timed = Timed::from_fields(fields, findings);
        let value = fields.required("value", findings);
        Some(Self { timed: timed?, value: value? })
    }
}

impl Events {
    /// Reads `Events(seconds: 20, triggers: [Trigger(at: 3.5, name: "leak")])`; `None` when a finding says why not.
    pub fn load(reader: &mut Reader<'_>, path: &Path, show: &Show, findings: &mut Findings) -> Option<Self> {
        let mut found = Findings::default();
        let events = Self::read(reader, path, show, &mut found).filter(|_| !found.any_error());
        findings.append(found);
        events
    }

    fn read(reader: &mut Reader<'_>, path: &Path, show: &Show, findings: &mut Findings) -> Option<Self> {
        let (file, text) = reader.text(path, Place::Nowhere, findings)?;
        let node = parse(&text, file, findings)?;
        if node.head() != Some("Events") {
            report_wrong(&node, "Events(seconds: …, triggers: […])", findings);
            return None;
        }
        let mut fields = Fields::open(&node, "Events", findings)?;
        let seconds = fields.optional::<Placed<f64>>("seconds", findings);
        let live = fields.or("live", Vec::new(), findings);
        let triggers = fields.required::<Vec<Timed>>("triggers", findings);
        fields.close(findings);
        let (seconds, timed, live) = (seconds?, triggers?, live?);
        let end = match seconds {
            Some(seconds) => in_range(&seconds, SECONDS, "seconds", findings).map(Some),
            None => Some(None),
        };
        if let Some(Some(end)) = end {
            report_late(&timed, end, findings);
        }
        let mut raised = resolve(&timed, show, findings)?;
        raised.sort_by_key(|(frame, _)| *frame);
        let set: Vec<_> = live.iter().map(|set| resolve_value(set, show, findings)).collect();
        let mut set = set.into_iter().collect::<Option<Vec<_>>>()?;
        set.sort_by_key(|(frame, ..)| *frame);
        let last =
            raised.iter().map(|(frame, _)| *frame).chain(set.iter().map(|(frame, ..)| *frame)).max().unwrap_or(0);
        let rate = show.frame_rate();
        let frames = end?.map_or(last + rate.frames_in(USUAL_REST).0, |end| rate.frames_in(end).0);
        Some(Self { raised, set, frames: frames.max(1) })
    }
}

/// Triggers after the end of the preview, which never come.
fn report_late(timed: &[Timed], end: f64, findings: &mut Findings) {
    for late in timed.iter().filter(|timed| timed.at.value > end) {
        let message = format!("this trigger comes at {} s, after the end of the preview at {end} s", late.at.value);
        findings.push(Finding::warning(late.at.span, message).hint("increase `seconds`, or reduce `at`"));
    }
}

fn in_range(value: &Placed<f64>, range: (f64, f64), name: &str, findings: &mut Findings) -> Option<f64> {
    if (range.0..=range.1).contains(&value.value) {
        return Some(value.value);
    }
    findings.push(out_of_range(value.span, name, value.value, range, ""));
    None
}

fn resolve(triggers: &[Timed], show: &Show, findings: &mut Findings) -> Option<Vec<(u32, TriggerId)>> {
    let found: Vec<_> = triggers.iter().map(|timed| resolve_one(timed, show, findings)).collect();
    found.into_iter().collect()
}

fn resolve_one(timed: &Timed, show: &Show, findings: &mut Findings) -> Option<(u32, TriggerId)> {
    let at = in_range(&timed.at, (0.0, SECONDS.1), "at", findings);
    let number = show.triggers().iter().position(|known| *known == timed.name.value);
    if number.is_none() {
        let finding = Finding::error(timed.name.span, format!("the show has no trigger `{}`", timed.name.value));
        let known = || show.triggers().iter().map(String::as_str);
        findings.push(match nearest(&timed.name.value, known()) {
            Some(near) => finding.hint(format!("did you mean `{near}`?")),
            None => finding.hint(format!("its triggers are: {}", known().collect::<Vec<_>>().join(", "))),
        });
    }
    // A trigger raised at the start comes before the second frame: the first is the start scene's own.
    Some((show.frame_rate().frames_in(at?).0.max(1), TriggerId(number?)))
}

fn resolve_value(set: &TimedValue, show: &Show, findings: &mut Findings) -> Option<(u32, LiveId, i16)> {
    let at = in_range(&set.timed.at, (0.0, SECONDS.1), "at", findings);
    let name = &set.timed.name;
    let Some(number) = show.live().iter().position(|live| live.name == name.value) else {
        let finding = Finding::error(name.span, format!("the show has no live value `{}`", name.value));
        let known = || show.live().iter().map(|live| live.name.as_str());
        findings.push(match nearest(&name.value, known()) {
            Some(near) => finding.hint(format!("did you mean `{near}`?")),
            None => finding.hint(format!("its live values are: {}", known().collect::<Vec<_>>().join(", "))),
        });
        return None;
    };
    let live = &show.live()[number];
    let value = in_range(&set.value, (f64::from(live.from), f64::from(live.to)), "value", findings)?;
    Some((show.frame_rate().frames_in(at?).0, LiveId(number), rounded(value)))
}
