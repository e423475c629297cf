//! What the display showed, and for how long.

use crate::render::Bitmap;
use crate::units::Nanoseconds;

/// A picture that the display held for some frames, as the viewer sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The picture, in viewer space.
    pub picture: Bitmap,
    /// How many frames it stood, at least 1.
    pub frames: u32,
    /// How long it stood; longer than its frames where the next one came late.
    pub stays: Nanoseconds,
    /// Contrast of the display, 0 to 255.
    pub contrast: u8,
    /// Whether the display was on; when off, no pixel is lit whatever the picture.
    pub on: bool,
    /// The scene that played.
    pub scene: String,
    /// The pixels of an LCD that have not settled yet.
    pub changing: Option<Bitmap>,
}

/// How long an LCD takes to change, at room temperature (common practice: 0.1 to 0.2 s; several times that near 0 °C).
const RESPONSE: Nanoseconds = Nanoseconds(150_000_000);

/// The same show on an LCD: what changed is between light and dark for a while.
pub fn slowed(shown: &[Shown]) -> Vec<Shown> {
    let mut all: Vec<Shown> = Vec::new();
    for (at, now) in shown.iter().enumerate() {
        let before = at.checked_sub(1).map(|before| &shown[before]);
        let changes = |x: i32, y: i32| before.is_some_and(|before| before.shines(x, y) != now.shines(x, y));
        let (width, height) = (now.picture.width(), now.picture.height());
        let mut changing = Bitmap::new(width, height);
        for (x, y) in (0..width.cast_signed()).flat_map(|x| (0..height.cast_signed()).map(move |y| (x, y))) {
            changing.set(x, y, changes(x, y));
        }
        if changing.lit() == 0 {
            all.push(now.clone());
            continue;
        }
        let stays = now.stays.min(RESPONSE);
        all.push(Shown { changing: Some(changing), stays, ..now.clone() });
        if now.stays > stays {
            all.push(Shown { stays: Nanoseconds(now.stays.0 - stays.0), ..now.clone() });
        }
    }
    all
}

impl Shown {
    /// Whether the viewer sees the same, whichever scene plays.
    pub fn looks_like(&self, other: &Self) -> bool {
        self.picture == other.picture
            && self.contrast == other.contrast
            && self.on == other.on
            && self.changing == other.changing
    }
    /// Whether a pixel of an LCD has not settled yet.
    pub fn is_changing(&self, x: i32, y: i32) -> bool {
        self.changing.as_ref().is_some_and(|pixels| pixels.get(x, y))
    }
    /// Whether a pixel shines.
    pub fn shines(&self, x: i32, y: i32) -> bool {
        self.on && self.picture.get(x, y)
    }
}

/// Joins equal pictures that follow one another in a scene.
pub fn merged(shown: &[Shown]) -> Vec<Shown> {
    let mut runs: Vec<Shown> = Vec::new();
    for next in shown {
        match runs.last_mut() {
            Some(last) if last.looks_like(next) && last.scene == next.scene => {
                last.frames += next.frames;
                last.stays += next.stays;
            }
            _ => runs.push(next.clone()),
        }
    }
    runs
}
