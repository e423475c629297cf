//! Reads a panel that the script describes, for a display that is not in the tables.

use super::words::word;
use crate::diag::{Finding, Findings, Span};
use crate::panel::{
    Certainty, Colour, Controller, CrystalDrive, Drive, Panel, Source, Supply, Tint, Wiring, controllers,
};
use crate::source::{Fields, FromNode, Label, Node, Placed, report_wrong};
use crate::whole::rounded;
use std::borrow::Cow;

const MICROMETRES_A_MILLIMETRE: f64 = 1000.0;

/// Reads `Panel(name: …, controller: "SSD1306", size: (72, 40), pitch: (0.128, 0.13), dot: (0.108, 0.11), …)`.
pub fn read_panel_description(node: &Node, findings: &mut Findings) -> Option<Panel> {
    const COLOURS: &[(&str, Colour)] = &[
        ("White", Colour::White),
        ("Blue", Colour::Blue),
        ("Yellow", Colour::Yellow),
        ("Green", Colour::Green),
        ("Amber", Colour::Amber),
    ];
    let mut fields = Fields::open(node, "Panel", findings)?;
    let name = fields.or("name", Label("own panel".to_owned()), findings).map(|Label(name)| name);
    let controller = fields.required::<Placed<String>>("controller", findings);
    let controller = controller.and_then(|name| read_controller(&name, findings));
    let size = pair(&mut fields, "size", findings);
    let pitch = pair(&mut fields, "pitch", findings);
    let dot = pair(&mut fields, "dot", findings);
    let colour = match fields.node("colour") {
        Some(node) => word(node, "colour", COLOURS, findings),
        None => Some(Colour::White),
    };
    let wiring = read_wiring(
        &mut fields,
        (controller, size.map_or((0, 0), |(width, height)| (rounded(width.floor()), rounded(height.floor())))),
        findings,
    );
    let drive = controller.and_then(|controller| read_drive(&mut fields, controller, findings));
    let span = fields.span();
    fields.close(findings);
    let (controller, size, pitch, dot) = (controller?, size?, pitch?, dot?);
    let micrometres =
        |(across, down): (f64, f64)| [across, down].map(|length| rounded(length * MICROMETRES_A_MILLIMETRE));
    let source = Source::new("described in the script", Certainty::CommonPractice);
    let panel = Panel {
        name: Cow::Owned(name?),
        controller,
        width: rounded(size.0.floor()),
        height: rounded(size.1.floor()),
        pitch_micrometres: micrometres(pitch),
        dot_micrometres: micrometres(dot),
        wiring: wiring?,
        known_first_columns: &[],
        drive: drive?,
        tint: if controller.is_lcd() { Tint::Crystal } else { Tint::Plain(colour?) },
        candela_per_square_metre: None,
        current: None,
        lifetimes: &[],
        geometry_source: source,
        set_up_source: source,
    };
    report_complaints(&panel, node, span, findings).then_some(panel)
}

fn report_complaints(panel: &Panel, node: &Node, span: Span, findings: &mut Findings) -> bool {
    let complaints = panel.complaints();
    for complaint in &complaints {
        let fields = if let crate::source::Shape::Record(_, fields) = &node.shape { fields.as_slice() } else { &[] };
        let written = if matches!(complaint.field, "width" | "height") { "size" } else { complaint.field };
        let field = fields.iter().find(|(name, ..)| name == written);
        let place = field.map_or(span, |(.., value)| value.span);
        findings.push(Finding::error(place, complaint.message.clone()).hint(complaint.hint.clone()));
    }
    complaints.is_empty()
}

fn read_controller(name: &Placed<String>, findings: &mut Findings) -> Option<&'static Controller> {
    let found = controllers().iter().find(|controller| controller.name == name.value);
    if found.is_none() {
        let known: Vec<&str> = controllers().iter().map(|controller| controller.name).collect();
        let finding = Finding::error(name.span, format!("there is no controller named `{}`", name.value));
        findings.push(finding.hint(format!("the controllers are: {}", known.join(", "))));
    }
    found
}

/// Two numbers `(across, down)` greater than 0.
fn pair(fields: &mut Fields<'_>, name: &'static str, findings: &mut Findings) -> Option<(f64, f64)> {
    let Some(node) = fields.node(name) else {
        fields.report_lack(name, findings);
        return None;
    };
    let [across, down] = node.items() else {
        report_wrong(node, "two numbers (across, down)", findings);
        return None;
    };
    let (across, down) = (f64::from_node(across, findings), f64::from_node(down, findings));
    let pair = (across?, down?);
    if pair.0 > 0.0 && pair.1 > 0.0 && pair.0 <= 1000.0 && pair.1 <= 1000.0 {
        return Some(pair);
    }
    let finding = Finding::error(node.span, format!("both numbers of `{name}` must be above 0 and at most 1000"));
    findings.push(finding.hint("use the millimetres of the panel's data sheet"));
    None
}

fn read_wiring(
    fields: &mut Fields<'_>,
    (controller, (width, height)): (Option<&Controller>, (u8, u8)),
    findings: &mut Findings,
) -> Option<Wiring> {
    /// Alternating COM pins, the value after reset (SSD1306 data sheet Rev 1.5 Table 9-1).
    const ALTERNATING: u8 = 0x12;
    let is_sideways = controller.is_some_and(|controller| controller.sideways);
    let first_column = fields.or("first_column", 0, findings);
    let segments_reversed = fields.or("segments_reversed", false, findings);
    let commons_reversed = fields.or("commons_reversed", false, findings);
    let multiplex = fields.or("multiplex", if is_sideways { width } else { height }, findings);
    let display_offset = fields.or("display_offset", 0, findings);
    let start_line = fields.or("start_line", 0, findings);
    let common_pins = fields.or("common_pins", ALTERNATING, findings);
    Some(Wiring {
        first_column: first_column?,
        segments_reversed: segments_reversed?,
        commons_reversed: commons_reversed?,
        multiplex: multiplex?,
        display_offset: display_offset?,
        start_line: start_line?,
        common_pins: common_pins?,
    })
}

/// The drive values; what is left out is taken from a known panel with the same controller.
fn read_drive(fields: &mut Fields<'_>, controller: &'static Controller, findings: &mut Findings) -> Option<Drive> {
    let like = crate::panel::panels().iter().find(|panel| panel.controller.name == controller.name)?.drive;
    let external = fields.or("external_supply", false, findings);
    let clock = fields.or("clock", like.clock, findings);
    let precharge = fields.or("precharge", like.precharge, findings);
    let deselect = fields.or("deselect", like.deselect, findings);
    let reference = fields.optional::<u8>("reference", findings);
    let ratio = fields.optional::<u8>("ratio", findings)?;
    let bias = fields.optional::<u8>("bias", findings)?;
    if ratio.or(bias).is_some() && !controller.is_lcd() {
        let message = format!("{} is not the controller of an LCD: it has no `ratio` and no `bias`", controller.name);
        findings.push(Finding::error(fields.span(), message).hint("leave them out"));
        return None;
    }
    let supply = match like.supply {
        _ if external? => Supply::External,
        Supply::Crystal(drive) => {
            let (ratio, bias) = (ratio.unwrap_or(drive.ratio), bias.unwrap_or(drive.bias));
            Supply::Crystal(CrystalDrive { ratio, bias, ..drive })
        }
        other => other,
    };
    Some(Drive {
        supply,
        clock: clock?,
        precharge: precharge?,
        deselect: deselect?,
        contrast: like.contrast,
        reference: reference?.or(like.reference),
    })
}
