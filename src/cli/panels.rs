//! `panels`: the displays, controllers and microcontrollers known here, each row with its source.

use super::made::Made;
use super::sources::SourceList;
use super::table::TerminalTable;
use super::terminal::columns;
use crate::diag::number;
use crate::panel::{Addressing, Controller, Tint, controllers, microcontrollers, panels};
use crate::units::Hertz;
use clap::Args;

/// The tables of hardware.
#[derive(Debug, Args)]
pub struct Panels {
    /// Show only rows whose name contains this.
    #[arg(value_name = "PART OF A NAME")]
    part: Option<String>,
}

impl Panels {
    /// Runs the command.
    pub fn run(&self) -> Made {
        let mut sources = SourceList::default();
        let tables = [
            ("Panels", self.known_panels(&mut sources)),
            ("Controllers", self.chips(&mut sources)),
            ("Microcontrollers", self.parts(&mut sources)),
        ];
        let found = tables.iter().filter(|(_, (rows, _))| *rows > 0);
        let text: Vec<String> = found.map(|(head, (_, table))| format!("{head}\n\n{table}")).collect();
        if text.is_empty() {
            return Made::words(
                "No row has this in its name. A show can also describe its own panel or microcontroller.",
            );
        }
        let text = text.join("\n");
        Made::words(format!("{text}{}\nSources\n\n{}", self.power(), sources.list(columns()).trim_end()))
    }

    fn wanted(&self, name: &str) -> bool {
        self.part.as_ref().is_none_or(|part| name.to_lowercase().contains(&part.to_lowercase()))
    }

    fn known_panels(&self, sources: &mut SourceList) -> (usize, TerminalTable) {
        let heads = [
            "name",
            "controller",
            ">pixels",
            ">lit area mm",
            ">pitch mm",
            "colour",
            ">refresh Hz",
            ">geometry",
            ">set-up",
        ];
        let mut table = TerminalTable::new(&heads, columns());
        let rows: Vec<_> = panels().iter().filter(|panel| self.wanted(&panel.name)).collect();
        for panel in &rows {
            let (width, height) = panel.active_area_millimetres();
            let refresh =
                panel.frame_frequency().map(|hertz| number((f64::from(hertz.typical_millihertz) / 1e3).round()));
            table.row([
                panel.name.to_string(),
                panel.controller.name.into(),
                format!("{}×{}", panel.width, panel.height),
                format!("{width:.2}×{height:.2}"),
                pitch(panel.pitch_millimetres()),
                tint(panel.tint),
                refresh.unwrap_or_else(|| "unknown".into()),
                sources.number(panel.geometry_source),
                sources.number(panel.set_up_source),
            ]);
        }
        (rows.len(), table)
    }

    fn chips(&self, sources: &mut SourceList) -> (usize, TerminalTable) {
        let mut table =
            TerminalTable::new(&["name", ">memory", "addressing", ">I²C kHz", ">SPI MHz", ">source"], columns());
        let rows: Vec<_> = controllers().iter().filter(|controller| self.wanted(controller.name)).collect();
        for controller in &rows {
            let addressing = match controller.addressing {
                Addressing::PagesOnly => "pages",
                Addressing::PagesAndWindows => "pages and windows",
            };
            let memory = format!("{}×{}", controller.memory_columns, controller.memory_rows);
            let clock = |highest: Option<Hertz>, unit: u32| {
                highest.map_or_else(|| "none".to_owned(), |clock| number((clock.0 / unit).into()))
            };
            let (i2c, spi) =
                (clock(controller.highest_i2c_clock, 1_000), clock(controller.highest_spi_clock, 1_000_000));
            let source = sources.number(controller.source);
            table.row([controller.name.into(), memory, addressing.into(), i2c, spi, source]);
        }
        (rows.len(), table)
    }

    /// Reset and power-down of the controllers asked for, and of those of the panels asked for; nothing where all are listed.
    fn power(&self) -> String {
        let of_panel =
            |name: &str| panels().iter().any(|panel| panel.controller.name == name && self.wanted(&panel.name));
        let asked = |controller: &&Controller| {
            self.part.is_some() && (self.wanted(controller.name) || of_panel(controller.name))
        };
        let lines: String = controllers()
            .iter()
            .filter(asked)
            .map(|row| format!("{}\n  reset: {}\n  switching off: {}\n", row.name, row.reset, row.power_down))
            .collect();
        if lines.is_empty() { lines } else { format!("\nReset and power-down\n\n{lines}") }
    }

    fn parts(&self, sources: &mut SourceList) -> (usize, TerminalTable) {
        let mut table = TerminalTable::new(&["name", ">flash B", ">RAM B", ">clock MHz", ">source"], columns());
        let rows: Vec<_> = microcontrollers().iter().filter(|part| self.wanted(&part.name)).collect();
        for part in &rows {
            let [flash, ram] = [part.flash.0, part.ram.0].map(|bytes| number(bytes.into()));
            let clock = (part.clock.0 / 1_000_000).to_string();
            table.row([part.name.to_string(), flash, ram, clock, sources.number(part.source)]);
        }
        (rows.len(), table)
    }
}

/// One number for square pixels, across and down for others.
fn pitch((across, down): (f64, f64)) -> String {
    if across == down { format!("{down:.3}") } else { format!("{across:.3}×{down:.3}") }
}

fn tint(tint: Tint) -> String {
    match tint {
        Tint::Crystal => "dark on light".into(),
        Tint::Plain(colour) => format!("{colour:?}").to_lowercase(),
        Tint::Split { upper, lower, first_lower_row } => {
            format!("{upper:?} above row {first_lower_row}, {lower:?} from it on").to_lowercase()
        }
    }
}
