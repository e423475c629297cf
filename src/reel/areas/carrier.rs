//! What carries each layer of a lean scene, or why areas do not: words for `check --explain`.

use super::live::{MOST_DRAWN, MOST_PICTURES};
use super::stack::{MOST_LIVE_BYTES, SheetArea};
use crate::diag::{Finding, number, number_of};
use crate::player::area::{ACROSS, DOWN, PICTURES};
use crate::player::live::MOST_PARTS;
use crate::show::{Drawing, Layer, LiveValue, Scene, Show};

/// What carries a layer of a scene with areas.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carrier {
    /// So many areas, and by what the first one's phase moves its sheet.
    Areas { count: usize, motion: u8 },
    /// The lowest area, in which it stands still.
    Lowest,
    /// The command of the display that exchanges light and dark.
    Inversion,
    /// Windows between the frames.
    Windows,
}

/// Why a scene has no areas.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoAreas {
    /// No layer moves.
    Still,
    /// More than the player takes.
    TooMany,
    /// A live field lies where one would move.
    Field,
    /// A layer bends what lies below it.
    Bends,
    /// A layer follows so many live values.
    ManyValues { layer: usize, values: usize },
    /// A layer follows live values, and has too many pictures at all of their steps.
    ManySteps { layer: usize, pictures: usize, frames: usize, bytes: usize },
    /// A layer that follows live values would take so many bytes.
    LiveTooLong { layer: usize, bytes: usize },
    /// They would take more of the reel than it may have.
    TooLong,
    /// They would take so many bytes of the reel, but leave less room with their code and time.
    Dearer(usize),
}

/// How a lean scene's layers are carried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Carriage {
    /// Layer by layer.
    Areas(Vec<Carrier>),
    Windows(NoAreas),
}

impl Default for Carriage {
    fn default() -> Self {
        Self::Windows(NoAreas::Still)
    }
}

impl Carriage {
    /// What carries a layer, or why no area does, in words.
    pub fn of_layer(&self, layer: usize) -> String {
        match self {
            Self::Areas(carriers) => carriers.get(layer).copied().unwrap_or(Carrier::Inversion).to_string(),
            Self::Windows(why) => format!("by windows: {why}"),
        }
    }
}

impl Carrier {
    /// What carries a layer of a scene that has these areas, by the numbers under which its parts have theirs.
    pub fn of(parts: &[usize], moves: bool, areas: &[SheetArea]) -> Self {
        let mut own = areas.iter().filter(|area| area.layer.is_some_and(|part| parts.contains(&part)));
        let Some(first) = own.next() else {
            return if moves { Self::Windows } else { Self::Lowest };
        };
        Self::Areas { count: 1 + own.count(), motion: first.sheet.motion }
    }
}

impl std::fmt::Display for Carrier {
    fn fmt(&self, text: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Areas { count, motion } => {
                let areas = if *count == 1 { "an area".to_owned() } else { format!("{count} areas") };
                let both = ACROSS | DOWN;
                let how = match *motion {
                    ACROSS => "a sheet that moves sideways",
                    DOWN => "a sheet that moves up or down",
                    PICTURES => "pictures in turn",
                    0 => "noise that the player makes",
                    motion if motion == both => "a sheet that moves both ways",
                    _ => "a sheet",
                };
                write!(text, "by {areas}: {how}")
            }
            Self::Lowest => write!(text, "by the lowest area, in which it stands still"),
            Self::Inversion => write!(text, "by the display's own command"),
            Self::Windows => write!(text, "by windows: an area would take more"),
        }
    }
}

impl std::fmt::Display for NoAreas {
    fn fmt(&self, text: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Still => write!(text, "nothing moves"),
            Self::TooMany => write!(text, "it would need more areas than a player has"),
            Self::Field => write!(text, "a live field lies where an area would move"),
            Self::Bends => write!(text, "a layer of the scene bends what lies below it"),
            Self::ManyValues { values, .. } => write!(text, "a layer follows {values} live values"),
            Self::ManySteps { pictures, .. } => {
                write!(text, "a layer would have {pictures} pictures at all steps of its live values")
            }
            Self::LiveTooLong { bytes, .. } => {
                write!(text, "a layer that follows live values would take {bytes} bytes")
            }
            Self::TooLong => write!(text, "areas would take more bytes than a reel may have"),
            Self::Dearer(bytes) => {
                write!(
                    text,
                    "areas would take {bytes} bytes for the scene, but leave less room with their code and time"
                )
            }
        }
    }
}

/// Why a scene whose layers follow live values cannot be, at the layer that stands in the way, with what would help.
pub fn no_live(show: &Show, scene: &Scene, why: NoAreas) -> Finding {
    let live = scene.layers.iter().position(|layer| !layer.follows.is_empty()).unwrap_or(0);
    let bends = scene.layers.iter().position(|layer| matches!(layer.drawing, Drawing::Glitch(_)));
    let (layer, message, hint) = match why {
        NoAreas::ManyValues { layer, values } => {
            (layer, format!("follows {values} live values; the limit is {MOST_PARTS}"), "use several layers".into())
        }
        NoAreas::ManySteps { layer, pictures, frames, bytes } => (
            layer,
            format!(
                "would have {} pictures at all steps of its live values{}, up to {} bytes of flash; the limit is {}",
                amount(pictures),
                if frames > 1 { format!(" in each of {}", number_of(frames, "frame")) } else { String::new() },
                amount(bytes.saturating_mul(frames)),
                if frames > 1 { format!("{} in all", amount(MOST_DRAWN)) } else { amount(MOST_PICTURES) },
            ),
            fewer_steps(show, &scene.layers[layer], share_of_pictures(pictures, frames))
                + if frames > 1 { ", or let it not move by itself" } else { ", or one live value" },
        ),
        NoAreas::LiveTooLong { layer, bytes } => (
            layer,
            format!(
                "follows live values and would take {} bytes of flash; the limit is {}",
                amount(bytes),
                amount(MOST_LIVE_BYTES)
            ),
            fewer_steps(show, &scene.layers[layer], MOST_LIVE_BYTES as f64 / bytes as f64),
        ),
        NoAreas::TooMany => {
            (live, "needs more moving parts than a player has".into(), "let fewer layers of the scene move".into())
        }
        NoAreas::Field => (
            live,
            "lies beside a live field, which cannot be".into(),
            "leave eight columns between them, or use other rows".into(),
        ),
        NoAreas::Bends => (
            bends.unwrap_or(live),
            "bends layers that follow live values, which cannot be".into(),
            "put them into scenes of their own".into(),
        ),
        NoAreas::Still => (
            live,
            "follows live values, but looks the same at all their steps".into(),
            "use more `steps`, or write a number".into(),
        ),
        _ => (
            live,
            "follows live values and takes more than a reel can have".into(),
            "use fewer `steps`, or a smaller layer".into(),
        ),
    };
    let layer = &scene.layers[layer];
    let finding = Finding::error(layer.span, format!("`{}` of scene `{}` {message}", layer.name, scene.name));
    let most = layer.follows.iter().map(|value| &show.live()[value.0]).max_by_key(|live| live.steps);
    let finding = most.into_iter().fold(finding, |finding, live| {
        finding.also(live.span, format!("it has {} here", number_of(usize::from(live.steps), "step")))
    });
    finding.hint(hint)
}

/// What share of its pictures a layer may have that has so many in each frame.
fn share_of_pictures(pictures: usize, frames: usize) -> f64 {
    let pictures = pictures as f64;
    (MOST_PICTURES as f64 / pictures).min(MOST_DRAWN as f64 / pictures / frames as f64)
}

/// With how many steps of its finest live value a layer would keep to this share of its pictures or bytes, in words.
fn fewer_steps(show: &Show, layer: &Layer, share: f64) -> String {
    let finest = layer.follows.iter().map(|value| &show.live()[value.0]).max_by_key(|live| live.steps);
    let fitting = |live: &LiveValue| ((f64::from(live.steps) + 1.0) * share).floor() as u32;
    match finest.map(|live| (&live.name, fitting(live))) {
        Some((name, pictures @ 2..)) => format!("use up to {} `steps` for `{name}`, or a smaller layer", pictures - 1),
        _ => "use a smaller layer".into(),
    }
}

fn amount(count: usize) -> String {
    number(count as f64)
}
