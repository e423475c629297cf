//! The report of a production: gathers its content from what was played and computed.

use super::Production;
use crate::diag::{Findings, Sources};
use crate::preview::{BezelOpening, Look, Material, Surroundings, Tones, materials, scenes_shown};
use crate::report::{Appearance, Colours, DisplayColours, LivePage, PagePicture, PageState, Subject, Tour, page};
use crate::show::Show;

/// A page on a production and on what was found since; `Err` says in words why there is none.
pub fn report(
    production: Option<&Production>,
    script: &str,
    (findings, sources): (&Findings, &Sources),
    live: Option<LivePage<'_>>,
) -> Result<String, String> {
    let subject = production.map(subject).transpose()?;
    page(&PageState { subject: subject.as_ref(), script, findings, sources, live })
}

fn subject(production: &Production) -> Result<Subject<'_>, String> {
    let (show, rehearsal) = (&production.show, &production.rehearsal);
    let shown = scenes_shown(show, production.reel())?;
    let picture =
        |shown: crate::preview::Shown| PagePicture { picture: shown.picture, contrast: shown.contrast, on: shown.on };
    let scenes = shown.into_iter().map(|scene| scene.into_iter().map(picture).collect()).collect();
    Ok(Subject {
        show,
        reel: production.reel(),
        choice: &production.choice,
        budgets: &production.budgets,
        loads: &production.choice.fitted.loads,
        scenes,
        tour: Tour {
            frames: rehearsal.course.clone(),
            raised: rehearsal.raised.clone(),
            cues: rehearsal.cues.clone(),
            bytes: rehearsal.traffic.iter().map(|traffic| traffic.bytes.0).collect(),
            times: rehearsal.times.clone(),
        },
        appearance: appearance(show),
    })
}

/// The show's own display, and others to try.
fn appearance(show: &Show) -> Appearance {
    let (panel, mounting) = (show.panel(), show.mounting());
    let look = |material: Material, light| Look::made_of(material, light, panel, mounting, None);
    let display = |(value, words, material): (&'static str, &'static str, Material)| {
        let (night, day) = (look(material, Surroundings::Night), look(material, Surroundings::Day));
        DisplayColours {
            value,
            words,
            steady: night.tones.steady,
            night: colours(&night.tones),
            day: colours(&day.tones),
            second: night.second,
        }
    };
    let own = ("own", "this panel's", Material::of(panel.tint));
    let corners = |opening: BezelOpening| [opening.left, opening.top, opening.width, opening.height];
    let [dot, pitch] = [panel.dot_micrometres[0], panel.pitch_micrometres[0]].map(f64::from);
    Appearance {
        displays: std::iter::once(own).chain(materials(panel.height)).map(display).collect(),
        reference: panel.drive.contrast,
        dot: dot / pitch.max(1.0),
        opening: look(own.2, Surroundings::Night).opening.map(corners),
    }
}

fn colours(tones: &Tones) -> Colours {
    let Tones { bezel, edge, glass, unlit, lit, second, .. } = *tones;
    Colours { bezel, edge, glass, unlit, lit, second }
}
