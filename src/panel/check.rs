//! Whether a panel described by hand can exist on its controller; every fault at once.

use super::{Panel, PumpCommand, Supply};

/// What is wrong with one field of a panel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Complaint {
    /// Name of the field in [`Panel`], [`super::Wiring`] or [`super::Drive`].
    pub field: &'static str,
    /// What is wrong.
    pub message: String,
    /// How to fix it.
    pub hint: String,
}

impl Panel {
    /// Every fault of the description; none for a panel that can work.
    pub fn complaints(&self) -> Vec<Complaint> {
        let mut complaints = Vec::new();
        self.check_size(&mut complaints);
        self.check_wiring(&mut complaints);
        self.check_drive(&mut complaints);
        complaints
    }

    fn check_size(&self, complaints: &mut Vec<Complaint>) {
        let (columns, rows) = (u32::from(self.controller.memory_columns), u32::from(self.controller.memory_rows));
        let mut side = |field, value: u32, most: u32| {
            if !(1..=most).contains(&value) {
                let message =
                    format!("the {field} is {value} pixels, but {} supports 1 to {most}", self.controller.name);
                complaints.push(complaint(field, message, "give the size of the panel in pixels"));
            }
        };
        side("width", self.width, columns);
        side("height", self.height, rows);
        for axis in 0..2 {
            let (pitch, dot) = (self.pitch_micrometres[axis], self.dot_micrometres[axis]);
            if pitch == 0 || dot == 0 || dot > pitch {
                let message = format!("a dot of {dot} µm does not fit a pitch of {pitch} µm");
                complaints.push(complaint(
                    "dot",
                    message,
                    "the pitch is the distance from pixel to pixel; the dot is the lit part of a pixel",
                ));
            }
        }
    }

    fn check_wiring(&self, complaints: &mut Vec<Complaint>) {
        let (wiring, controller) = (self.wiring, self.controller);
        if controller.sideways && self.height != u32::from(controller.memory_rows) {
            let message = format!(
                "the rows of {} are its {} segments, but the height is {} pixels",
                controller.name, controller.memory_rows, self.height
            );
            complaints.push(complaint("height", message, "describe the panel upright, with its segments as rows"));
            return;
        }
        if !controller.reverses() && (wiring.segments_reversed || wiring.commons_reversed) {
            let message = format!("{} has no command that reverses columns or rows", controller.name);
            complaints.push(complaint("segments_reversed", message, "leave it out; the mounting can be mirrored"));
        }
        let last = u32::from(wiring.first_column) + self.width;
        if last > u32::from(controller.memory_columns) {
            let message = format!(
                "the panel uses columns {} to {}, but {} has {}",
                wiring.first_column,
                last.saturating_sub(1),
                controller.name,
                controller.memory_columns
            );
            complaints.push(complaint("first_column", message, "the last column must be inside the memory"));
        }
        let (side, count, most) = match controller.sideways {
            true => ("columns", self.width, controller.commons()),
            false => ("rows", self.height, controller.commons()),
        };
        let drives = (controller.multiplex_lowest..=most).contains(&wiring.multiplex);
        if count <= u32::from(most) && (u32::from(wiring.multiplex) < count || !drives) {
            let message = format!("multiplex {} cannot drive {count} {side}", wiring.multiplex);
            let lowest = u32::from(controller.multiplex_lowest).max(count);
            complaints.push(complaint("multiplex", message, &format!("use {lowest} to {most}")));
        }
        for (field, value) in [("display_offset", wiring.display_offset), ("start_line", wiring.start_line)] {
            if value >= controller.commons() {
                let message = format!("the {field} is {value}, beyond the last row");
                complaints.push(complaint(field, message, &format!("use 0 to {}", controller.commons() - 1)));
            } else if field == "start_line" && value > 0 && !controller.takes_start_line() {
                let message = format!("{} has no start line that moves rows", controller.name);
                complaints.push(complaint(field, message, "leave it out"));
            }
        }
        if let Some(line) = self.line_not_driven() {
            let (of, hint) = match controller.sideways {
                true => ("column", format!("use {}, the first column, or a larger multiplex", wiring.first_column)),
                false => ("row", "use 0; `display_offset` moves the picture on the panel".to_owned()),
            };
            let message = format!(
                "start line {} puts a {of} of the panel on line {line}, but multiplex {} drives lines 0 to {}",
                wiring.start_line,
                wiring.multiplex,
                wiring.multiplex.saturating_sub(1)
            );
            complaints.push(complaint("start_line", message, &hint));
        }
        if !controller.common_pin_values.is_empty() && !controller.common_pin_values.contains(&wiring.common_pins) {
            let message = format!("{} does not support the COM pins value {:02X}", controller.name, wiring.common_pins);
            complaints.push(complaint("common_pins", message, &choices(controller.common_pin_values)));
        }
    }

    /// The first line on which a row of the display would stand, or a column where pages run along the segments, and which is not
    /// driven: row r stands on line (r − start line) modulo the commons, driven are those below multiplex (SSD1306 data sheet Rev 1.5
    /// Table 10-1).
    fn line_not_driven(&self) -> Option<u32> {
        let commons = u32::from(self.controller.commons()).max(1);
        let start = u32::from(self.wiring.start_line) % commons;
        let multiplex = u32::from(self.wiring.multiplex);
        let (first, count) = match self.controller.sideways {
            true => (u32::from(self.wiring.first_column), self.width),
            false => (0, self.height),
        };
        let fits = count <= multiplex && multiplex <= commons && first + count <= commons;
        (first..first + count).map(|row| (row + commons - start) % commons).find(|line| fits && *line >= multiplex)
    }

    fn check_drive(&self, complaints: &mut Vec<Complaint>) {
        let (drive, controller) = (self.drive, self.controller);
        if !controller.is_lcd() && drive.precharge & 0x0F == 0 || !controller.is_lcd() && drive.precharge >> 4 == 0 {
            let message = format!("pre-charge value {:02X} has a phase of length 0", drive.precharge);
            complaints.push(complaint("precharge", message, "both hexadecimal digits must be 1 to F"));
        }
        if !controller.deselect_levels.is_empty() && !controller.deselect_levels.contains(&drive.deselect) {
            let message = format!("{} does not support the VCOMH level {:02X}", controller.name, drive.deselect);
            complaints.push(complaint("deselect", message, &choices(controller.deselect_levels)));
        }
        if drive.contrast < controller.contrast_lowest {
            let message = format!("{} has no contrast {}", controller.name, drive.contrast);
            complaints.push(complaint("contrast", message, &format!("use {} to 255", controller.contrast_lowest)));
        }
        let safest = self.highest_safe_contrast();
        if drive.contrast > safest {
            let message = format!("contrast {} is more than is safe for {}", drive.contrast, controller.name);
            complaints.push(complaint("contrast", message, &format!("use {} to {safest}", controller.contrast_lowest)));
        }
        if drive.reference.is_some() && !controller.internal_reference {
            let message = format!("{} has no internal current reference", controller.name);
            complaints.push(complaint("reference", message, "leave it out"));
        }
        let fits = match (drive.supply, controller.pump) {
            (Supply::Crystal(drive), PumpCommand::PowerCircuits) => drive.ratio < 8 && drive.bias < 2,
            (Supply::Crystal(drive), PumpCommand::Multiplier) => drive.bias < 8 && drive.booster.unwrap_or(0) < 4,
            (Supply::External, _) => !controller.is_lcd(),
            (Supply::Pump8D(value), PumpCommand::Command8D { on_values }) => on_values.contains(&value),
            (Supply::PumpAd(value), PumpCommand::CommandAd { has_voltages, .. }) => {
                !has_voltages || (0x30..=0x33).contains(&value)
            }
            _ => false,
        };
        if !fits {
            let message = format!("{} has no such pump setting", controller.name);
            complaints.push(complaint(
                "supply",
                message,
                "use a pump setting of this controller, or an external supply",
            ));
        }
    }
}

fn complaint(field: &'static str, message: String, hint: &str) -> Complaint {
    Complaint { field, message, hint: hint.to_owned() }
}

fn choices(values: &[u8]) -> String {
    let shown: Vec<String> = values.iter().map(|value| format!("{value:02X}")).collect();
    format!("use one of {} (hexadecimal)", shown.join(", "))
}
