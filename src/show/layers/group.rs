//! Layers taken together.

use crate::diag::{Finding, Findings};
use crate::show::Layer;
use crate::show::Track;
use crate::show::read::{Context, Field, Slot, layer, read_layers};
use crate::source::Node;

layer! {
    /// Layers that are put together first and then laid on the picture as one: moved, started one after another, masked.
    Group, r#"Group(x: Ramp(from: -40, to: 0, seconds: 1), stagger_seconds: 0.3, layers: [Text(text: "TRIM", font: "small", at: (0, 0)), Text(text: "CELLS", font: "small", at: (0, 8))])"# {
        /// The layers; their times count from the group's start.
        layers: Vec<Layer>;
        /// Columns by which all of them are moved to the right.
        x: Track [-2000.0, 2000.0] = 0.0;
        /// Rows by which all of them are moved down.
        y: Track [-2000.0, 2000.0] = 0.0;
        /// Each layer starts so many seconds after the one before it.
        stagger_seconds: f64 [0.0, 600.0] = 0.0;
        /// Their time starts again after so many seconds; 0 for never.
        repeat_seconds: f64 [0.0, 600.0] = 0.0;
        /// Only where these layers have ink do the others count; none counts as all.
        mask: Vec<Layer> = Vec::new();
    }
}

/// Groups within groups.
const DEEPEST: u32 = 4;

impl Field for Vec<Layer> {
    const FORM: &'static str = "a list of layers";
    type Usual = Self;

    fn read(node: &Node, _: &Slot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        if context.depth >= DEEPEST {
            let message = format!("groups may stand within groups {DEEPEST} deep, no deeper");
            findings.push(Finding::error(node.span, message).hint("take its layers into the group around it"));
            return None;
        }
        context.depth += 1;
        let layers = read_layers(Some(node), context, findings);
        context.depth -= 1;
        layers
    }
    fn usual(value: Self) -> Self {
        value
    }
}
