//! Counting flashes: what brightens and darkens from frame to frame, and how often in any second.

use super::light::{brightest, contrasts};
use crate::render::Bitmap;
use crate::show::{Show, Then};

/// A change counts from this share of the highest luminance on, where the darker state is below [`DARK`] (WCAG 2.x).
const CHANGE: f64 = 0.1;
const DARK: f64 = 0.8;

/// How many pixels brighten and darken from one frame to the next.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Change {
    pub brighter: usize,
    pub darker: usize,
}

/// What a scene does to the eye.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Flashes {
    /// The most in any second, and the frame at which that second begins.
    pub most: usize,
    pub from: usize,
}

/// The changes from frame to frame of a scene, and on into what follows for a second.
pub fn changes(show: &Show, frames: &[Vec<Bitmap>], number: usize) -> Vec<Change> {
    let scene = &show.scenes()[number];
    let brightest = f64::from(brightest(show));
    let lit = |number: usize| {
        let contrasts = contrasts(show, &show.scenes()[number]);
        frames[number].iter().zip(contrasts).map(move |(frame, contrast)| (frame, f64::from(contrast) / brightest))
    };
    let second = usize::from(show.frame_rate().frames_per_second());
    // The way back leads anywhere; the change into another scene is one at most.
    let following = match scene.then {
        Then::Hold | Then::Back => None,
        Then::Repeat => Some(number),
        Then::Scene(next) => Some(next.0),
    };
    let after = following.into_iter().flat_map(|next| lit(next).take(second));
    let seen: Vec<(&Bitmap, f64)> = lit(number).chain(after).collect();
    seen.windows(2).map(|pair| change(pair[0], pair[1])).collect()
}

/// The change from one picture to the next, each with the luminance of its lit pixels as a share of the highest.
fn change((before, bright): (&Bitmap, f64), (now, brighter): (&Bitmap, f64)) -> Change {
    let lit_only = |one: &Bitmap, other: &Bitmap| {
        let mut only = one.clone();
        only.clear(other);
        only.lit()
    };
    let mut change = Change::default();
    if brighter >= CHANGE {
        change.brighter += lit_only(now, before);
    }
    if bright >= CHANGE {
        change.darker += lit_only(before, now);
    }
    if (bright - brighter).abs() >= CHANGE && bright.min(brighter) < DARK {
        let both = now.lit() - lit_only(now, before);
        *(if brighter > bright { &mut change.brighter } else { &mut change.darker }) += both;
    }
    change
}

/// The most flashes in any second over more than an area in pixels, whether that changes in one frame or in many, as a wipe
/// does.
pub fn count(changes: &[Change], allowed: f64, second: usize) -> Flashes {
    let (at_once, by_and_by) = (count_at_once(changes, allowed, second), count_by_and_by(changes, allowed, second));
    if by_and_by.most > at_once.most { by_and_by } else { at_once }
}

/// Flashes of the whole light: it grows by more than the area from its minimum, and then falls by as much, or the other way round.
/// If as much goes as comes, as in scrolling text, the light does not change.
fn count_by_and_by(changes: &[Change], allowed: f64, second: usize) -> Flashes {
    let (mut light, mut least, mut most) = (0.0f64, 0.0f64, 0.0f64);
    let mut rising = None;
    let mut turns: Vec<usize> = Vec::new();
    for (at, change) in changes.iter().enumerate() {
        light += change.brighter as f64 - change.darker as f64;
        (least, most) = (least.min(light), most.max(light));
        if rising != Some(true) && light - least > allowed {
            turns.push(at);
            (rising, most) = (Some(true), light);
        } else if rising != Some(false) && most - light > allowed {
            turns.push(at);
            (rising, least) = (Some(false), light);
        }
    }
    let within = |from: &usize| turns.iter().filter(|turn| (*from..from + second).contains(*turn)).count() / 2;
    let busiest = turns.iter().copied().max_by_key(|from| (within(from), std::cmp::Reverse(*from)));
    busiest.map_or_else(Flashes::default, |from| Flashes { most: within(&from), from })
}

/// As many as there are changes of either direction in one frame, and at most half of all changes, since two opposing ones
/// are a flash and one frame may brighten here and darken there.
fn count_at_once(changes: &[Change], allowed: f64, second: usize) -> Flashes {
    let over = |change: &Change| {
        let (up, down) = (change.brighter as f64 > allowed, change.darker as f64 > allowed);
        [up, down, up || down].map(usize::from)
    };
    let mut most = Flashes::default();
    let mut within = [0; 3];
    for (at, change) in changes.iter().enumerate() {
        let (new, old) = (over(change), at.checked_sub(second).map_or([0; 3], |old| over(&changes[old])));
        within = [0, 1, 2].map(|kind| within[kind] + new[kind] - old[kind]);
        let [up, down, either] = within;
        let flashes = up.min(down).min(either / 2);
        if flashes > most.most {
            most = Flashes { most: flashes, from: (at + 1).saturating_sub(second) };
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blinking(on: usize, off: usize, length: usize) -> Vec<Change> {
        let state = |frame: usize| frame % (on + off) < on;
        let change = |frame: usize| match (state(frame), state(frame + 1)) {
            (false, true) => Change { brighter: 100, darker: 0 },
            (true, false) => Change { brighter: 0, darker: 100 },
            _ => Change::default(),
        };
        (0..length).map(change).collect()
    }

    /// Counted by hand at 20 frames a second: five frames of each state are two flashes a second, two of each five, three on
    /// and four off just under three.
    #[test]
    fn flashes_are_counted_in_any_second() {
        let most = |on, off| count(&blinking(on, off, 200), 50.0, 20).most;
        assert_eq!((most(10, 10), most(5, 5), most(3, 4), most(2, 2), most(1, 1)), (1, 2, 3, 5, 10));
        let inverted: Vec<Change> = (0..200)
            .map(|frame| if frame % 5 == 0 { Change { brighter: 100, darker: 80 } } else { Change::default() })
            .collect();
        assert_eq!(
            count(&inverted, 50.0, 20).most,
            2,
            "inversion every quarter of a second is two flashes at each place"
        );
        assert_eq!(count(&blinking(1, 1, 200), 100.0, 20).most, 0, "the area allowed may flash at any rate");
    }

    #[test]
    fn a_change_counts_by_its_luminance() {
        let picture = |text: &str| text.parse::<Bitmap>().expect("drawn");
        let (one, other) = (picture("##.\n"), picture(".##\n"));
        assert_eq!(change((&one, 1.0), (&other, 1.0)), Change { brighter: 1, darker: 1 });
        assert_eq!(change((&one, 0.05), (&other, 0.05)), Change::default());
        assert_eq!(change((&one, 0.05), (&other, 1.0)), Change { brighter: 2, darker: 0 });
        assert_eq!(change((&one, 1.0), (&one, 0.85)), Change::default(), "the darker state is above 80 %");
    }

    /// Worked by hand: a wipe of four frames up and four down, each of 100 pixels, changes 400; at 20 frames a second that is
    /// 2½ times a second, so two whole flashes, or three turns up and two down; one of 40 frames up and down is none.
    #[test]
    fn a_wipe_counts_by_what_it_has_changed_in_all() {
        let wipe =
            |frames: usize, length: usize| -> Vec<Change> {
                let up = |frame: usize| (frame / frames).is_multiple_of(2);
                (0..length)
                    .map(|frame| {
                        if up(frame) {
                            Change { brighter: 100, darker: 0 }
                        } else {
                            Change { brighter: 0, darker: 100 }
                        }
                    })
                    .collect()
            };
        assert_eq!(count_at_once(&wipe(4, 200), 250.0, 20).most, 0, "no frame changes so much");
        assert_eq!(count(&wipe(4, 200), 250.0, 20).most, 2);
        assert_eq!(count(&wipe(4, 200), 450.0, 20).most, 0, "the area is never changed");
        assert_eq!(count(&wipe(40, 400), 250.0, 20).most, 0);
        let roll = vec![Change { brighter: 300, darker: 300 }; 200];
        assert_eq!(count_by_and_by(&roll, 250.0, 20).most, 0, "a text that rolls keeps its light");
    }
}
