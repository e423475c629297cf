//! Live values at a build: every step of each, every pair of neighbouring steps in both directions and both farthest jumps are played
//! beside the others at representative values, then combinations of all; the display is held pixel by pixel against what was drawn.

use super::rehearsal::{MOST_REPORTED, SideBySide};
use crate::budget::Figure;
use crate::diag::{Finding, Findings};
use crate::reel::{Reel, starting_with};
use crate::render::Bitmap;
use crate::show::{LiveId, LiveValue, SceneId, Show};
use crate::whole::{floored, limited};
use rayon::prelude::*;

/// Of a scene no more combinations of its live values are played. Our own choice: a few tenths of a second.
const MOST_COMBINATIONS: usize = 512;
const SOURCE: &str = "the shipped player on the simulated controller, pixel by pixel against what was drawn";

/// What was compared.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LiveCheck {
    /// How many pictures.
    pictures: usize,
    /// Of each scene that follows several live values its name, the combinations of them that were played, and how many there are.
    scenes: Vec<(String, usize, usize)>,
}

impl LiveCheck {
    /// The same as figures of a budget.
    pub fn figures(&self) -> Vec<Figure> {
        let all = "each step of each live value, up and down, and from end to end, the others at their samples, lowest and highest";
        let pictures = Figure::new("pictures compared", self.pictures as f64, "").headline().from(all, SOURCE);
        let of = |(name, played, there_are): &(String, usize, usize)| {
            Figure::new(format!("combinations compared in {name}"), *played as f64, "")
                .from(format!("of {there_are} that all its live values have together"), SOURCE)
        };
        std::iter::once(pictures).chain(self.scenes.iter().map(of)).collect()
    }
}

/// What each live value is set to at a frame; at its sample where nothing is set.
type Setting = Vec<Option<i16>>;

/// Whether the display shows what was drawn in each scene that follows live values, and what was compared; `None` after a finding.
/// Quickly, the other values stay at their samples.
pub fn check_live(
    show: &Show,
    reel: &Reel,
    frames: &[Vec<Bitmap>],
    quickly: bool,
    findings: &mut Findings,
) -> Option<LiveCheck> {
    let mut checked = LiveCheck::default();
    let mut courses: Vec<(SceneId, Vec<Setting>)> = Vec::new();
    for (scene, name) in show.scenes().iter().enumerate().map(|(at, scene)| (SceneId(at), &scene.name)) {
        let values = followed(show, scene);
        courses.extend(alone(show, &values, quickly).into_iter().map(|course| (scene, course)));
        if values.len() > 1 && !quickly {
            let (together, there_are) = together(show, &values);
            checked.scenes.push((name.clone(), together.len(), there_are));
            courses.push((scene, together));
        }
    }
    let play = |(scene, course): &(SceneId, Vec<Setting>)| {
        let bytes = starting_with(&reel.bytes, *scene);
        through(|| SideBySide::new(show, (&bytes, &reel.fields), frames, *scene), *scene, course)
    };
    let played: Vec<Result<usize, Finding>> = courses.par_iter().map(play).collect();
    let mut reported = 0;
    for result in played {
        match result {
            Ok(pictures) => checked.pictures += pictures,
            Err(fault) if reported < MOST_REPORTED => {
                reported += 1;
                findings.push(fault);
            }
            Err(_) => {}
        }
    }
    (reported == 0).then_some(checked)
}

/// The live values that a scene follows.
fn followed(show: &Show, scene: SceneId) -> Vec<usize> {
    (0..show.live().len()).filter(|number| show.scenes()[scene.0].follows(LiveId(*number))).collect()
}

/// For each value of a scene its steps up, down and from end to end, the others at their samples; then at their lowest and highest.
fn alone(show: &Show, values: &[usize], quickly: bool) -> Vec<Vec<Setting>> {
    let ends: [fn(&LiveValue) -> Option<i16>; 3] = [|_| None, |live| Some(live.from), |live| Some(live.to)];
    let ends = if quickly || values.len() < 2 { &ends[..1] } else { &ends[..] };
    let mut courses = Vec::new();
    for (number, end) in values.iter().flat_map(|number| ends.iter().map(move |end| (*number, end))) {
        let live = &show.live()[number];
        let mut others: Setting = vec![None; show.live().len()];
        values.iter().for_each(|other| others[*other] = end(&show.live()[*other]));
        let steps = (0..=live.steps).chain((0..live.steps).rev()).chain([live.steps, 0]);
        let setting = |step: u8| {
            let mut setting = others.clone();
            setting[number] = Some(live.value_at(step));
            setting
        };
        courses.push(steps.map(setting).collect());
    }
    courses
}

/// Combinations of the values of a scene, neighbours far from one another, and how many there are: all of them, or some of those of
/// each value's ends, middle, start and samples.
fn together(show: &Show, values: &[usize]) -> (Vec<Setting>, usize) {
    let product = |steps: &[Vec<u8>]| steps.iter().fold(1usize, |all, steps| all.saturating_mul(steps.len()));
    let all: Vec<Vec<u8>> = values.iter().map(|number| (0..=show.live()[*number].steps).collect()).collect();
    let there_are = product(&all);
    let steps = match there_are <= MOST_COMBINATIONS {
        true => all,
        false => values.iter().map(|number| representative(&show.live()[*number])).collect(),
    };
    let chosen = product(&steps);
    let stride = far_stride(chosen);
    let combination = |at: usize| {
        // No product overflows: a stride and a number below it are at most as many as there are combinations, which fit in 64 bits.
        let mut rest: usize = limited(at as u128 * stride as u128 % chosen as u128);
        let mut setting: Setting = vec![None; show.live().len()];
        for (number, steps) in values.iter().zip(&steps) {
            setting[*number] = Some(show.live()[*number].value_at(steps[rest % steps.len()]));
            rest /= steps.len();
        }
        setting
    };
    ((0..chosen.min(MOST_COMBINATIONS)).map(combination).collect(), there_are)
}

/// The steps of a value at its ends, its middle, its start and its samples.
fn representative(live: &LiveValue) -> Vec<u8> {
    let samples = live.samples.keys.iter().map(|key| live.step(live.sample(key.seconds)));
    let mut steps: Vec<u8> =
        [0, live.steps / 2, live.steps, live.step(live.start)].into_iter().chain(samples).collect();
    steps.sort_unstable();
    steps.dedup();
    steps
}

/// A number without a common divisor with `count`, near the golden section of it, so that its multiples come everywhere.
fn far_stride(count: usize) -> usize {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let has_none = |stride: &usize| {
        let (mut one, mut other) = (count, *stride);
        while other > 0 {
            (one, other) = (other, one % other);
        }
        one == 1
    };
    (floored(count as f64 * GOLDEN)..count).find(has_none).unwrap_or(1)
}

/// Frame by frame through the settings; how many pictures were compared. Where another scene follows, this one begins again.
fn through<'a>(begin: impl Fn() -> SideBySide<'a>, scene: SceneId, course: &[Setting]) -> Result<usize, Finding> {
    let (mut watch, mut before, mut pictures) = (begin(), None, 0);
    for setting in course {
        if watch.course.scene != scene {
            watch = begin();
            if let Some(before) = before {
                watch.set.clone_from(before);
                watch.play()?;
                pictures += 1;
                watch.go_on(None);
                if watch.course.scene != scene {
                    watch = begin(); // a scene of one frame has no neighbouring ones
                }
            }
        }
        watch.set.clone_from(setting);
        watch.play()?;
        pictures += 1;
        watch.go_on(None);
        before = Some(setting);
    }
    Ok(pictures)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::budget::compile;
    use crate::render::render;
    use crate::show::load;
    use crate::source::{FilesInMemory, Reader};
    use std::path::Path;

    fn script(mode: &str) -> String {
        format!(
            r#"Show(name: "two", frame_rate: 10, panel: "0.42in-72x40-ssd1306", bus: I2c(clock: 400_000),
            microcontroller: "ATmega328P", fonts: {{"small": Shipped("cleat")}}, start: "only",
            scenes: [Scene(name: "only", seconds: 1, then: Repeat, layers: [
                Rectangle(at: TopLeft, size: (Live(name: "one", from: 0, to: 5, steps: 5), 8), fill: true),
                Rectangle(at: TopLeft, size: (Live(name: "other", from: 0, to: 3, steps: 3), 6), fill: true, mode: {mode}),
            ])])"#
        )
    }

    fn show(mode: &str) -> Show {
        let files = FilesInMemory::default().with("two.ron", script(mode));
        load(&mut Reader::new(&files), Path::new("two.ron"), &mut Findings::default()).expect("a show")
    }

    /// By hand: 5 steps have 6 + 5 + 2 pictures, 3 steps have 4 + 3 + 2; three times each; and all 6 × 4 combinations.
    #[test]
    fn each_value_is_played_beside_the_others() {
        let show = show("Paint");
        let (frames, mut findings) = (render(&show), Findings::default());
        let reel = compile(&show, &frames, &mut findings).expect("a reel");
        let checked = check_live(&show, &reel, &frames, false, &mut findings);
        assert_eq!(checked, Some(LiveCheck { pictures: 3 * 13 + 3 * 9 + 24, scenes: vec![("only".into(), 24, 24)] }));
        let quickly = check_live(&show, &reel, &frames, true, &mut findings);
        assert_eq!(quickly, Some(LiveCheck { pictures: 13 + 9, scenes: vec![] }));
    }

    /// Two rectangles that paint, and a reel in which the upper one inverts: they differ only where both values are above their lowest.
    #[test]
    fn what_differs_only_where_two_values_meet_is_found() {
        let (painted, inverted) = (show("Paint"), show("Invert"));
        let (frames, mut findings) = (render(&painted), Findings::default());
        let reel = compile(&inverted, &render(&inverted), &mut findings).expect("a reel");
        assert!(check_live(&painted, &reel, &frames, true, &mut findings).is_some());
        assert_eq!(check_live(&painted, &reel, &frames, false, &mut findings), None);
        assert!(findings.any_fault());
    }

    /// Shows whose contrast follows a live value, in every profile, a scene that repeats and one that holds; by hand, 4 steps have
    /// 5 + 4 + 2 pictures in each.
    #[test]
    fn a_contrast_is_played_at_all_its_steps() {
        for profile in ["Lean", "Dense"] {
            let scene = |name: &str, then: &str| {
                format!(
                    r#"Scene(name: "{name}", seconds: 1, then: {then}, contrast: Live(name: "light", from: 0, to: 40, steps: 4,
                    low: 10, high: 210, samples: [(0, 0), (1, 40)]), layers: [Noise(at: TopLeft, size: (20, 20), seed: 4)])"#
                )
            };
            let script = format!(
                r#"Show(name: "two", frame_rate: 10, panel: "0.42in-72x40-ssd1306", bus: I2c(clock: 400_000), profile: {profile},
                microcontroller: "ATmega328P", start: "one", scenes: [{}, {}])"#,
                scene("one", "Repeat"),
                scene("two", "Hold").replace("samples: [(0, 0), (1, 40)]", "start: 0"),
            );
            let files = FilesInMemory::default().with("two.ron", script);
            let mut findings = Findings::default();
            let mut reader = Reader::new(&files);
            let show = load(&mut reader, Path::new("two.ron"), &mut findings);
            let show = show.unwrap_or_else(|| panic!("{}", crate::diag::render(&findings, &reader.sources, false)));
            let frames = render(&show);
            let reel = compile(&show, &frames, &mut findings).expect("a reel");
            assert!(reel.parts.dims && reel.parts.dense == (profile == "Dense"));
            let checked = check_live(&show, &reel, &frames, false, &mut findings);
            assert_eq!(checked, Some(LiveCheck { pictures: 2 * 11, scenes: vec![] }), "{profile}");
        }
    }

    #[test]
    fn a_stride_comes_everywhere() {
        for count in 1..200 {
            let mut seen: Vec<usize> = (0..count).map(|at| at * far_stride(count) % count).collect();
            seen.sort_unstable();
            assert!(seen.into_iter().eq(0..count), "{count}");
        }
    }
}
