//! Reading the supply, the loads on it, and the course of a day.

use super::{Context, Numeric};
use crate::diag::{Finding, Findings, Span};
use crate::show::{Cell, Draw, Load, Power, Regulator, SceneId, Stay};
use crate::source::{Fields, FromNode, Label, Node, Placed, Shape, report_wrong};

/// Milliampere hours, from a coin cell to a car's battery.
const CAPACITIES: (f64, f64) = (1.0, 100_000.0);
const VOLTS: (f64, f64) = (0.9, 24.0);
const CURRENTS: (f64, f64) = (0.0, 10_000.0);
/// Shares that cannot be nothing.
const SHARES: (f64, f64) = (0.01, 1.0);
const HOURS_OF_A_DAY: f64 = 24.0;
/// Volts of a lithium cell in the middle of its discharge, and the share of a cell's capacity that a careful builder counts
/// on (common practice).
const USUAL_VOLTS: f64 = 3.7;
const USUAL_SHARE: f64 = 0.8;

/// Reads `power: Power(cell: Cell(…), regulator: …, microcontroller: Draw(…), loads: […])`; inner `None` when it is not given.
pub fn read_power(
    node: Option<&Node>,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Option<Power>> {
    let Some(node) = node else { return Some(None) };
    let mut fields = open(node, "Power", findings)?;
    let cell = match fields.node("cell") {
        Some(node) => read_cell(node, context, findings),
        None => {
            fields.report_lack("cell", findings);
            None
        }
    };
    let regulator = match fields.node("regulator") {
        Some(node) => read_regulator(node, context, findings),
        None => Some(Regulator::Direct),
    };
    let microcontroller = match fields.node("microcontroller") {
        Some(node) => read_draw(node, context, findings).map(Some),
        None => Some(None),
    };
    let loads = match fields.node("loads") {
        Some(node) => read_loads(node, context, findings),
        None => Some(Vec::new()),
    };
    fields.close(findings);
    Some(Some(Power { cell: cell?, regulator: regulator?, microcontroller: microcontroller?, loads: loads? }))
}

/// Opens a record of this name, or reports that the node is another.
fn open<'a>(node: &'a Node, name: &str, findings: &mut Findings) -> Option<Fields<'a>> {
    if node.head() != Some(name) {
        report_wrong(node, &format!("{name}(…)"), findings);
        return None;
    }
    Fields::open(node, name, findings)
}

fn read_cell(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Cell> {
    let mut fields = open(node, "Cell", findings)?;
    let mut number = |name, (lowest, highest), usual| {
        Numeric::plain(name, lowest, highest).take(&mut fields, usual, context, findings)
    };
    let milliampere_hours = number("milliampere_hours", CAPACITIES, None);
    let volts = number("volts", VOLTS, Some(USUAL_VOLTS));
    let usable = number("usable", SHARES, Some(USUAL_SHARE));
    fields.close(findings);
    Some(Cell { milliampere_hours: milliampere_hours?, volts: volts?, usable: usable?, span: node.span })
}

fn read_regulator(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Regulator> {
    let Some(kind @ ("Direct" | "Linear" | "Switching")) = node.head() else {
        report_wrong(node, "Direct, Linear(…) or Switching(volts: …, efficiency: …)", findings);
        return None;
    };
    let mut fields = Fields::open(node, kind, findings)?;
    let mut number = |name, (lowest, highest), usual| {
        Numeric::plain(name, lowest, highest).take(&mut fields, usual, context, findings)
    };
    let regulator = match kind {
        "Direct" => Some(Regulator::Direct),
        "Linear" => {
            let own = number("own_milliamperes", CURRENTS, Some(0.0));
            let most = number("most_milliamperes", CURRENTS, Some(CURRENTS.1));
            own.zip(most)
                .map(|(own_milliamperes, most_milliamperes)| Regulator::Linear { own_milliamperes, most_milliamperes })
        }
        _ => {
            let (volts, efficiency) = (number("volts", VOLTS, None), number("efficiency", SHARES, None));
            let own = number("own_milliamperes", CURRENTS, Some(0.0));
            let most = number("most_milliamperes", CURRENTS, Some(CURRENTS.1));
            volts.zip(efficiency).zip(own.zip(most)).map(|((volts, efficiency), (own, most))| Regulator::Switching {
                volts,
                efficiency,
                own_milliamperes: own,
                most_milliamperes: most,
            })
        }
    };
    fields.close(findings);
    regulator
}

fn read_draw(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Draw> {
    let mut fields = open(node, "Draw", findings)?;
    let mut number = |name, (lowest, highest), usual| {
        Numeric::plain(name, lowest, highest).take(&mut fields, usual, context, findings)
    };
    let awake_milliamperes = number("awake_milliamperes", CURRENTS, None);
    let asleep_milliamperes = number("asleep_milliamperes", CURRENTS, Some(0.0));
    let awake = number("awake", (0.0, 1.0), Some(1.0));
    fields.close(findings);
    Some(Draw { awake_milliamperes: awake_milliamperes?, asleep_milliamperes: asleep_milliamperes?, awake: awake? })
}

fn read_loads(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Vec<Load>> {
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list of Load(…) in [ ]", findings);
        return None;
    };
    let read: Vec<Option<Load>> = items.iter().map(|item| read_load(item, context, findings)).collect();
    read.into_iter().collect()
}

fn read_load(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Load> {
    let mut fields = open(node, "Load", findings)?;
    let name = fields.required::<Label>("name", findings).map(|Label(name)| name);
    let mut number = |name, (lowest, highest), usual| {
        Numeric::plain(name, lowest, highest).take(&mut fields, usual, context, findings)
    };
    let milliamperes = number("milliamperes", CURRENTS, None);
    let share = number("share", SHARES, Some(1.0));
    let scenes = fields.or::<Vec<Placed<String>>>("scenes", Vec::new(), findings);
    fields.close(findings);
    let scenes = scenes?.iter().flat_map(|scene| context.scenes_of(scene, findings)).collect();
    Some(Load { name: name?, milliamperes: milliamperes?, share: share?, scenes })
}

/// Reads `day: {"sonar": 2, "sleep": 10}`: hours of each scene on a day.
pub fn read_day(node: Option<&Node>, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Vec<Stay>> {
    let Some(node) = node else { return Some(Vec::new()) };
    let Shape::Map(pairs) = &node.shape else {
        report_wrong(node, "a map {\"scene\": hours, …}", findings);
        return None;
    };
    let hours = Numeric::plain("hours per day", 0.0, HOURS_OF_A_DAY);
    let mut stays: Vec<Stay> = Vec::new();
    let mut places: Vec<(SceneId, Span)> = Vec::new();
    let mut whole = true;
    for (key, value) in pairs {
        let name = Placed::<String>::from_node(key, findings);
        let scenes = name.map_or(Vec::new(), |name| context.scenes_of(&name, findings));
        let hours = hours.read(value, context, findings);
        let scene = scenes.first().copied();
        if let Some((_, first)) = places.iter().find(|(known, _)| Some(*known) == scene) {
            let message = "this scene is listed twice in `day`";
            findings.push(
                Finding::error(key.span, message)
                    .also(*first, "first given here")
                    .hint("write the sum of its hours once"),
            );
        }
        places.extend(scene.map(|scene| (scene, key.span)));
        let (Some(_), Some(hours)) = (scene, hours) else {
            whole = false;
            continue;
        };
        // What modes made of a scene share its hours evenly.
        let share = hours / scenes.len() as f64;
        stays.extend(scenes.into_iter().map(|scene| Stay { scene, hours: share }));
    }
    if !whole {
        return None;
    }
    let taken: f64 = stays.iter().map(|stay| stay.hours).sum();
    if taken > HOURS_OF_A_DAY || taken <= 0.0 {
        let message = format!("the scenes add up to {taken} hours; a day has {HOURS_OF_A_DAY}");
        findings.push(Finding::error(node.span, message).hint("leave out the hours in which the model is off"));
        return None;
    }
    Some(stays)
}
