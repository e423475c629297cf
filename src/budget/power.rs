//! Power: the current of display, microcontroller and loads, scene by scene and over a day, and how long a cell lasts.

use super::light::contrasts;
use super::{Budget, Figure};
use crate::diag::{Finding, Findings, number};
use crate::panel::{Core, Panel, Supply};
use crate::render::Bitmap;
use crate::show::{Draw, Power, Regulator, SceneId, Show};
use crate::whole::limited;

/// What the controller draws without lit pixels, in milliamperes: from the high voltage, and for its logic.
const IDLE_HIGH_VOLTAGE: f64 = 0.430;
const IDLE_LOGIC: f64 = 0.050;
/// Current into the pump to one milliampere of the high voltage (from memory), and into an outer boost from a cell to 12 V.
const PUMP: f64 = 2.0;
const OUTER_BOOST: f64 = 4.0;
/// The most that a display draws which is switched off: 10 µA of the high voltage and 10 µA of its logic.
const OFF_MILLIAMPERES: f64 = 0.02;
/// An LCD, whatever it shows and without a backlight (from memory; PCD8544 data sheet of 1999-04-12: 0.24 mA typical).
const LCD_MILLIAMPERES: f64 = 0.3;
const LCD: (&str, &str) =
    ("an LCD draws the same current for every picture; its backlight is not counted", "from memory: measure it");
const DISPLAY: &str = "idle + pump × segment current × contrast / 256 × lit pixels / multiplex × lit part of a row's clocks, \
                       at most the sheet's highest; 0.02 mA while it is off";
const DISPLAY_SOURCE: &str =
    "SSD1306 data sheet Rev 1.5 §8.8 and Table 12-1; a charge pump draws about twice its output current (from memory)";
const BY_SCRIPT: &str = "the script's `power`";
/// Milliamperes awake and asleep where the script gives none (from memory; clock and voltage change them much).
const USUAL_DRAWS: [(Core, f64, f64); 3] =
    [(Core::Avr, 10.0, 0.01), (Core::CortexM, 20.0, 0.05), (Core::RiscV, 30.0, 0.05)];
const HOURS_OF_A_DAY: f64 = 24.0;

/// An estimate of the current of the display in milliamperes, with this number of lit pixels.
pub fn display_milliamperes(panel: &Panel, lit: usize, contrast: u8) -> f64 {
    if panel.controller.is_lcd() {
        return panel.current.map_or(LCD_MILLIAMPERES, |sheet| f64::from(sheet.all_lit_typical_microamperes) / 1000.0);
    }
    let pump = if panel.drive.supply == Supply::External { OUTER_BOOST } else { PUMP };
    let idle = IDLE_HIGH_VOLTAGE * pump + IDLE_LOGIC;
    let segment = panel.segment_current_nanoamperes(contrast).map_or(0.0, |nanoamperes| f64::from(nanoamperes) / 1e6);
    let phases = u32::from(panel.drive.precharge & 0x0F) + u32::from(panel.drive.precharge >> 4);
    let lit_part = panel.controller.clock.as_ref().map_or(1.0, |clock| {
        let row = clock.fixed_clocks + clock.clocks_per_phase_step * phases;
        f64::from(clock.fixed_clocks) / f64::from(row)
    });
    let columns = lit as f64 / f64::from(panel.wiring.multiplex.max(1));
    let current = idle + pump * segment * columns * lit_part;
    match panel.current {
        Some(sheet) => current.min(f64::from(sheet.all_lit_highest_microamperes) / 1000.0),
        None => current,
    }
}

/// The current into a display that is switched off, in milliamperes; what a built-in pump keeps drawing aside.
pub fn display_off_milliamperes() -> f64 {
    OFF_MILLIAMPERES
}

/// The currents of one scene in milliamperes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SceneCurrent {
    /// The display, mean and most.
    pub display: f64,
    pub display_most: f64,
    pub microcontroller: f64,
    /// Everything that the script lists, mean and most.
    pub loads: f64,
    pub loads_most: f64,
    /// Out of the cell, mean, with what the regulator takes.
    pub cell: f64,
}

impl SceneCurrent {
    fn most(&self, awake: f64) -> f64 {
        self.display_most + self.loads_most + awake
    }
}

/// The currents of every scene.
pub fn scene_currents(show: &Show, frames: &[Vec<Bitmap>]) -> Vec<SceneCurrent> {
    let microcontroller = mean_draw(draw(show).0);
    let current = |(number, frames): (usize, &Vec<Bitmap>)| {
        let scene = &show.scenes()[number];
        let lit = frames.iter().zip(contrasts(show, scene)).enumerate();
        let display = |(at, (frame, contrast)): (usize, (&Bitmap, u8))| {
            let off = scene.is_off(show.frame_rate().seconds_at(limited(at)));
            if off { OFF_MILLIAMPERES } else { display_milliamperes(show.panel(), frame.lit(), contrast) }
        };
        let each: Vec<f64> = lit.map(display).collect();
        let display = each.iter().sum::<f64>() / each.len().max(1) as f64;
        let listed = show.power().map_or(&[][..], |power| &power.loads);
        let on = || listed.iter().filter(move |load| load.on_in(SceneId(number)));
        let loads = on().map(|load| load.milliamperes * load.share).sum();
        SceneCurrent {
            display,
            display_most: each.into_iter().fold(0.0, f64::max),
            microcontroller,
            loads,
            loads_most: on().map(|load| load.milliamperes).sum(),
            cell: out_of_the_cell(show.power(), display + microcontroller + loads),
        }
    };
    frames.iter().enumerate().map(current).collect()
}

fn mean_draw(draw: Draw) -> f64 {
    draw.awake_milliamperes * draw.awake + draw.asleep_milliamperes * (1.0 - draw.awake)
}

/// What the microcontroller draws, and where the figure comes from; `None` for a rough one of its kind.
fn draw(show: &Show) -> (Draw, Option<&'static str>) {
    if let Some(draw) = show.power().and_then(|power| power.microcontroller) {
        return (draw, Some(BY_SCRIPT));
    }
    let core = show.microcontroller().core;
    let (_, awake, asleep) = USUAL_DRAWS.into_iter().find(|row| row.0 == core).unwrap_or(USUAL_DRAWS[0]);
    (Draw { awake_milliamperes: awake, asleep_milliamperes: asleep, awake: 1.0 }, None)
}

/// The current out of the cell for a current behind the regulator.
fn out_of_the_cell(power: Option<&Power>, milliamperes: f64) -> f64 {
    let Some(power) = power else { return milliamperes };
    match power.regulator {
        Regulator::Direct => milliamperes,
        Regulator::Linear { own_milliamperes, .. } => milliamperes + own_milliamperes,
        Regulator::Switching { volts, efficiency, own_milliamperes, .. } => {
            milliamperes * volts / (power.cell.volts * efficiency) + own_milliamperes
        }
    }
}

/// Computes currents and running times; a day that the cell does not last, or a current above the regulator's limit, is a warning.
pub fn power(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Budget {
    let currents = scene_currents(show, frames);
    let (draw, known) = draw(show);
    let mut figures = Vec::new();
    for (scene, current) in show.scenes().iter().zip(&currents) {
        let name = format!("display, scene {}", scene.name);
        let (formula, source) = if show.panel().controller.is_lcd() { LCD } else { (DISPLAY, DISPLAY_SOURCE) };
        figures.push(Figure::new(name, current.display, "mA").from(formula, source).rough());
    }
    let source = known.unwrap_or(
        "typical for this kind of part, from memory: measure it, and give the value in the script's `power`",
    );
    let formula = "awake current × awake part of the time + asleep current × the rest";
    figures.push(Figure::new("microcontroller", mean_draw(draw), "mA").from(formula, source).rough());
    let most = currents.iter().map(|current| current.most(draw.awake_milliamperes)).fold(0.0, f64::max);
    figures.push(most_figure(show.power(), most));
    if let Some(power) = show.power() {
        figures.extend(running_times(show, power, &currents));
        figures.extend(day(show, power, &currents, findings));
        check_regulator(power, most, findings);
    }
    Budget { title: "power", figures }
}

fn most_figure(power: Option<&Power>, most: f64) -> Figure {
    let formula = "display's brightest frame + microcontroller awake + every load of the scene at once";
    let figure = Figure::new("highest current", most, "mA").from(formula, "the rows above").rough();
    match regulator_limit(power) {
        Some(limit) => figure.limit(limit),
        None => figure.headline(),
    }
}

fn regulator_limit(power: Option<&Power>) -> Option<f64> {
    /// What the script's reading takes when no limit is given.
    const NO_LIMIT: f64 = 10_000.0;
    match power?.regulator {
        Regulator::Linear { most_milliamperes, .. } | Regulator::Switching { most_milliamperes, .. } => {
            (most_milliamperes < NO_LIMIT).then_some(most_milliamperes)
        }
        Regulator::Direct => None,
    }
}

fn check_regulator(power: &Power, most: f64, findings: &mut Findings) {
    if let Some(limit) = regulator_limit(Some(power))
        && most > limit
    {
        let [most, limit] = [most, limit].map(number);
        let message = format!("up to {most} mA are drawn at once, but the regulator delivers {limit} mA");
        let hint = "switch the loads on at different times, or use a larger regulator; measure before you rely on either figure";
        findings.push(Finding::warning(power.cell.span, message).hint(hint));
    }
}

fn running_times(show: &Show, power: &Power, currents: &[SceneCurrent]) -> Vec<Figure> {
    let usable = power.cell.milliampere_hours * power.cell.usable;
    let mut figures = vec![Figure::new("usable capacity", usable, "mAh").from("capacity × usable part", BY_SCRIPT)];
    for (scene, current) in show.scenes().iter().zip(currents) {
        let name = format!("current from the cell, scene {}", scene.name);
        let formula = "display + microcontroller + loads; with a switching regulator × volts out / (cell × efficiency); + its own";
        figures.push(Figure::new(name, current.cell, "mA").from(formula, "the rows above").rough());
        let name = format!("running time in scene {}", scene.name);
        figures.push(
            Figure::new(name, usable / current.cell, "h").from("usable capacity / current", "the rows above").rough(),
        );
    }
    figures
}

fn day(show: &Show, power: &Power, currents: &[SceneCurrent], findings: &mut Findings) -> Vec<Figure> {
    if show.day().is_empty() {
        return Vec::new();
    }
    let usable = power.cell.milliampere_hours * power.cell.usable;
    let used: f64 = show.day().iter().map(|stay| stay.hours * currents[stay.scene.0].cell).sum();
    let hours: f64 = show.day().iter().map(|stay| stay.hours).sum();
    if used > usable {
        let message = format!(
            "the day of {} h needs {} mAh, but the cell delivers {} mAh: it lasts about {} h",
            number(hours),
            number(used),
            number(usable),
            number(hours * usable / used)
        );
        findings.push(
            Finding::warning(power.cell.span, message)
                .hint("use a larger cell, dim the longest scene, or let the microcontroller sleep between frames"),
        );
    }
    let off = HOURS_OF_A_DAY - hours;
    let formula = format!("hours × current of each scene; switched off for the other {off} h");
    vec![
        Figure::new("a day's use", used, "mAh")
            .limit(usable)
            .from(formula, "the script's `day` and the rows above")
            .rough(),
        Figure::new("days on one charge", usable / used, "")
            .from("usable capacity / a day's use; without self-discharge", "the rows above")
            .rough()
            .headline(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::panel::find;

    /// HP7240 Ver 1.0 gives 22 mA typical and 25 mA at most with everything lit; its flow chart sets contrast B0. Worked by
    /// hand: 30 µA × 8 × 176 / 256 = 165 µA; × 72 columns × 50 / 54 × 2 = 22.0 mA, and 0.91 mA idle.
    #[test]
    fn the_model_meets_the_data_sheets_current() {
        let panel = find("0.42in-72x40-ssd1306").expect("a row");
        let all = display_milliamperes(panel, 72 * 40, 0xB0);
        assert!((all - 22.91).abs() < 0.02, "{all}");
        assert_eq!(display_milliamperes(panel, 72 * 40, 0xFF), 25.0, "the sheet's highest");
        assert!((display_milliamperes(panel, 0, 0xFF) - 0.91).abs() < 1e-9);
    }

    /// Worked by hand: 30 mA at 3.3 V by a switching regulator of 90 % are 99 mW out, 110 mW in, 29.73 mA at 3.7 V.
    #[test]
    fn a_regulator_takes_its_part() {
        let supply = |regulator| Power {
            cell: crate::show::Cell {
                milliampere_hours: 500.0,
                volts: 3.7,
                usable: 0.8,
                span: crate::diag::Span { file: crate::diag::Sources::default().add("", ""), start: 0, end: 0 },
            },
            regulator,
            microcontroller: None,
            loads: Vec::new(),
        };
        let linear = supply(Regulator::Linear { own_milliamperes: 0.5, most_milliamperes: 150.0 });
        assert_eq!(out_of_the_cell(Some(&linear), 30.0), 30.5);
        let switching = supply(Regulator::Switching {
            volts: 3.3,
            efficiency: 0.9,
            own_milliamperes: 0.0,
            most_milliamperes: 150.0,
        });
        assert!((out_of_the_cell(Some(&switching), 30.0) - 29.73).abs() < 0.01);
    }
}
