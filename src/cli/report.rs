//! The report of a production: gathers what the page tells from what was played and reckoned.

use super::production::Production;
use crate::diag::{Findings, Sources};
use crate::preview::{Look, Opening, scenes_shown};
use crate::report::{Appearance, Picture, State, Subject, Tour, page};

/// A page on a production and on what was found since; `Err` says in words why there is none.
pub fn report(
    production: Option<&Production>,
    script: &str,
    (findings, sources): (&Findings, &Sources),
    live: Option<u64>,
) -> Result<String, String> {
    let subject = production.map(subject).transpose()?;
    page(&State { subject: subject.as_ref(), script, findings, sources, live })
}

fn subject(production: &Production) -> Result<Subject<'_>, String> {
    let (show, rehearsal) = (&production.show, &production.rehearsal);
    let shown = scenes_shown(show, &production.reel)?;
    let picture =
        |shown: crate::preview::Shown| Picture { picture: shown.picture, contrast: shown.contrast, on: shown.on };
    let scenes = shown.into_iter().map(|scene| scene.into_iter().map(picture).collect()).collect();
    let look = Look::of(show.panel(), show.mounting(), None);
    let corners = |opening: Opening| [opening.left, opening.top, opening.width, opening.height];
    Ok(Subject {
        show,
        reel: &production.reel,
        budgets: &production.budgets,
        loads: &production.loads,
        scenes,
        tour: Tour {
            frames: rehearsal.course.clone(),
            raised: rehearsal.raised.clone(),
            cues: rehearsal.cues.clone(),
            bytes: rehearsal.traffic.iter().map(|traffic| traffic.bytes.0).collect(),
        },
        appearance: Appearance { lit: look.lit, second: look.second, opening: look.opening.map(corners) },
    })
}
