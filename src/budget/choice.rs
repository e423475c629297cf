//! Which reel of a show is taken: the one that leaves the most room, by the tightest of its shares of flash, RAM and time, in steps.

use super::flash::flash_in_all;
use super::ram::ram_in_all;
use super::timing::{SceneTiming, timings};
use super::{SceneLoad, measure};
use crate::diag::Findings;
use crate::reel::{Options, Reel, candidates, dense_reels_with_areas, film_reels};
use crate::render::Bitmap;
use crate::show::{Profile, Show};
use crate::whole::limited;
use rayon::prelude::*;
use serde::Serialize;

/// A limit is divided into this number of steps. Values in the same step count as equal. Our own choice: a step is 250 B of 8,000.
const STEPS_OF_A_LIMIT: f64 = 32.0;

/// A reel, and what it takes of what the show has.
#[derive(Clone, Debug)]
pub struct Fitted {
    /// The reel.
    pub reel: Reel,
    /// The load of each frame, scene by scene.
    pub loads: Vec<SceneLoad>,
    /// What it takes of flash, RAM and time.
    pub fit: ProfileFit,
}

/// What a reel takes of flash, RAM and time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ProfileFit {
    /// `lean` or `dense`.
    pub profile: &'static str,
    /// Bytes of the reel.
    pub reel_bytes: u32,
    /// Bytes of the player with the parts that the reel needs.
    pub player_bytes: u32,
    /// Bytes of flash of reel, player, supervisor, lamps, fields and thresholds.
    pub flash_bytes: u32,
    /// Bytes of RAM of player, stack, picture copy, supervisor, fields and thresholds.
    pub ram_bytes: u32,
    /// Of the time between frames: of the mean frame of the fullest scene, and of the frame that takes longest.
    pub mean_time_share: f64,
    /// Of the frame that takes longest; above 1 the frame is late.
    pub worst_time_share: f64,
    /// The same, but an opening frame counts against the time in which a display seems to answer at once.
    #[serde(skip)]
    pub noticed_time_share: f64,
    /// Flash in use, as a part of what is left to the show: 1 is all of it.
    pub flash_share: f64,
    /// The part of the RAM that is used, 0 to 1 or more.
    pub ram_share: f64,
    /// Frames that are late.
    pub late_frames: usize,
    /// Whether a scene is late and never catches up.
    pub falls_behind: bool,
    /// Whether it is the one that is taken.
    pub taken: bool,
}

impl ProfileFit {
    /// Whether it keeps within flash and RAM.
    pub fn fits(&self) -> bool {
        self.flash_share <= 1.0 && self.ram_share <= 1.0
    }

    /// The verdict in a few words.
    pub fn verdict(&self) -> &'static str {
        match (self.fits(), self.falls_behind, self.late_frames) {
            (true, false, 0) => "fits and keeps time",
            (true, false, _) => "fits, some frames late",
            (true, true, _) => "fits, falls behind",
            (false, false, _) => "does not fit",
            (false, true, _) => "does not fit, falls behind",
        }
    }

    /// Whether time is what leaves the least room.
    fn is_short_of_time(&self) -> bool {
        self.falls_behind || self.worst_time_share.max(self.mean_time_share) > self.flash_share.max(self.ram_share)
    }

    /// In this order: whether it breaks a limit; its tightest share, in steps; the flash in use; all shares, the tightest first. The
    /// reel counts twice in the flash, because it grows with the show and the code does not.
    fn rank(&self) -> (bool, f64, u32, Vec<f64>) {
        let mut shares = vec![self.flash_share, self.ram_share, self.noticed_time_share, self.mean_time_share];
        shares.sort_by(|one, other| other.total_cmp(one));
        let tightest = (shares[0] * STEPS_OF_A_LIMIT).ceil();
        (!self.fits() || self.falls_behind, tightest, self.flash_bytes + self.reel_bytes, shares)
    }
}

/// The reel that is taken, and the best of each profile that was made.
#[derive(Clone, Debug)]
pub struct Choice {
    /// The reel that is taken.
    pub fitted: Fitted,
    /// One a profile, in the order lean, dense.
    pub profiles: Vec<ProfileFit>,
}

/// Compiles a show to all possible reels and returns the one that leaves the most room. `None` if a finding says why there is none.
pub fn choose(options: Options<'_>, show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Choice> {
    let reels = candidates(options, show, frames, findings)?;
    let mut all: Vec<Fitted> = reels.into_par_iter().map(|reel| fitted(show, reel)).collect();
    let by_rank = |one: &Fitted, other: &Fitted| {
        one.fit.rank().partial_cmp(&other.fit.rank()).unwrap_or(std::cmp::Ordering::Equal)
    };
    all.sort_by(by_rank);
    let mut dense = all.iter().filter(|fitted| fitted.reel.parts.dense);
    if dense.any(|fitted| fitted.fit.is_short_of_time()) {
        let has_areas = all.iter().any(|fitted| fitted.reel.parts.dense && fitted.reel.parts.areas > 0);
        let more = if has_areas { Vec::new() } else { dense_reels_with_areas(show, frames) };
        let films = film_reels(show, frames, &mut Findings::default());
        all.extend(more.into_iter().chain(films.into_iter().flatten()).map(|reel| fitted(show, reel)));
        all.sort_by(by_rank);
    }
    let mut profiles: Vec<ProfileFit> = Vec::new();
    for fit in all.iter().map(|fitted| fitted.fit) {
        if !profiles.iter().any(|known| known.profile == fit.profile) {
            profiles.push(ProfileFit { taken: profiles.is_empty(), ..fit });
        }
    }
    profiles.sort_by_key(|fit| fit.profile != "lean");
    let mut fitted = all.into_iter().next()?;
    fitted.fit.taken = true;
    // A lean reel that keeps every limit stands, though a full build may find a dense one with more room.
    fitted.reel.provisional &= show.profile() == Some(Profile::Dense) || fitted.fit.rank().0;
    Some(Choice { fitted, profiles })
}

/// The reel that [`choose`] takes.
pub fn compile(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    choose(Options::default(), show, frames, findings).map(|choice| choice.fitted.reel)
}

/// A reel with what it takes.
pub fn fitted(show: &Show, reel: Reel) -> Fitted {
    let loads = measure(show, &reel.bytes, show.bus());
    let timings = timings(show, &loads);
    let most = |share: fn(&SceneTiming) -> f64| timings.iter().map(share).fold(0.0, f64::max);
    let (flash, ram) = (flash_in_all(show, &reel), ram_in_all(show, &reel));
    let share = |bytes: u32, left: u32| if left == 0 { f64::INFINITY } else { f64::from(bytes) / f64::from(left) };
    let fit = ProfileFit {
        profile: if reel.parts.dense { "dense" } else { "lean" },
        reel_bytes: limited(reel.bytes.len()),
        player_bytes: show.microcontroller().player_cost().0.flash_with(reel.parts).0,
        flash_bytes: flash,
        ram_bytes: ram,
        mean_time_share: most(|timing| timing.mean_share),
        worst_time_share: most(|timing| timing.worst_share),
        noticed_time_share: most(|timing| timing.noticed_share),
        flash_share: share(flash, show.room().flash.0),
        ram_share: share(ram, show.room().ram.0),
        late_frames: timings.iter().map(|timing| timing.late_frames).sum(),
        falls_behind: timings.iter().any(|timing| timing.falls_behind),
        taken: false,
    };
    Fitted { reel, loads, fit }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::render;
    use crate::show::load;
    use crate::source::{Disk, Files, FilesInMemory, Reader};
    use std::path::Path;

    /// A show of the bench with other words in place of some of its own.
    fn chosen(show: &str, changes: &[(&str, &str)], quickly: bool) -> Choice {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/bench").join(show);
        let script =
            String::from_utf8(Disk.read(&path, crate::source::LIMITS.text_bytes).expect("a show")).expect("text");
        let script = script.replace("\"../../fonts/", "Shipped(\"").replace(".ron\"", "\")");
        let script = changes.iter().fold(script, |script, (from, to)| {
            assert!(script.contains(from), "{from} is not in the show");
            script.replacen(from, to, 1)
        });
        let (files, mut findings) = (FilesInMemory::default().with("show.ron", script), Findings::default());
        let show = load(&mut Reader::new(&files), Path::new("show.ron"), &mut findings);
        let show = show.unwrap_or_else(|| panic!("{findings:?}"));
        let options = Options { quickly, done: &|_| {} };
        choose(options, &show, &render(&show), &mut findings).unwrap_or_else(|| panic!("{findings:?}"))
    }

    /// Noise of grains of two pixels: a lean reel stores it, a dense one takes longer than there is time.
    const COARSE: (&str, &str) = ("seed: 7", "seed: 7, grain: 2");
    const RAM: (&str, &str) = ("ram_left: 900", "ram_left: 1_900");

    #[test]
    fn the_reel_with_the_most_room_is_taken_and_both_are_shown() {
        let choice = chosen("marquee.ron", &[], false);
        assert_eq!(choice.profiles.iter().map(|fit| fit.profile).collect::<Vec<_>>(), ["lean", "dense"]);
        let taken = choice.profiles.iter().find(|fit| fit.taken).expect("one is taken");
        let tightest = |fit: &ProfileFit| {
            (fit.flash_share.max(fit.ram_share).max(fit.noticed_time_share) * STEPS_OF_A_LIMIT).ceil()
        };
        assert!(choice.profiles.iter().all(|fit| tightest(taken) <= tightest(fit)), "{:?}", choice.profiles);
    }

    #[test]
    fn one_that_breaks_a_limit_is_taken_only_if_none_keeps_all() {
        // The dense reel would be smaller, and would fall behind.
        let large = ("ATmega328P\", flash_left: 24_000", "ATmega1284P\", flash_left: 60_000");
        let fast = [("frame_rate: 20", "frame_rate: 30"), ("times_a_second: 10", "times_a_second: 30")];
        let small = chosen("grains.ron", &[COARSE, RAM, large, fast[0], fast[1]], false);
        let dense = small.profiles.iter().find(|fit| fit.profile == "dense").expect("both are made");
        assert!(dense.falls_behind && dense.flash_bytes < small.fitted.fit.flash_bytes, "{:?}", small.profiles);
        assert!(!small.fitted.reel.parts.dense);
    }

    #[test]
    fn a_profile_that_is_asked_for_is_the_only_one() {
        for (word, dense) in [("profile: Lean, ", false), ("profile: Dense, ", true)] {
            let choice = chosen("marquee.ron", &[("Show(", &format!("Show({word}"))], false);
            assert_eq!((choice.fitted.reel.parts.dense, choice.profiles.len()), (dense, 1));
        }
    }

    #[test]
    fn a_quick_reel_is_lean_and_provisional_where_a_dense_one_is_wanted_or_needed() {
        for (from, to, provisional) in [
            ("Show(", "Show(", false),
            ("flash_left: 24_000", "flash_left: 2_000", true),
            ("Show(", "Show(profile: Lean, ", false),
            ("Show(", "Show(profile: Dense, ", true),
        ] {
            let choice = chosen("marquee.ron", &[(from, to)], true);
            assert_eq!((choice.fitted.reel.parts.dense, choice.fitted.reel.provisional), (false, provisional), "{to}");
        }
    }
}
