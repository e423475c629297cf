//! Layers taken together.

use crate::diag::{Finding, Findings};
use crate::show::Layer;
use crate::show::Track;
use crate::show::read::{Context, FieldSlot, ReadField, layer, read_layers};
use crate::source::Node;

layer! {
    /// Layers that are combined first and then drawn as one layer. A group can be moved, masked, and started layer by layer.
    Group, r#"Group(x: Ramp(from: -40, to: 0, seconds: 1), stagger_seconds: 0.3, layers: [Text(text: "TRIM", font: "small", at: (0, 0)), Text(text: "CELLS", font: "small", at: (0, 8))])"# {
        /// The layers. Their times count from the start of the group.
        layers: Vec<Layer>;
        /// Shift to the right, in columns.
        x: Track [-2000.0, 2000.0] = 0.0;
        /// Shift down, in rows.
        y: Track [-2000.0, 2000.0] = 0.0;
        /// Seconds from the start of one layer to the start of the next.
        stagger_seconds: f64 [0.0, 600.0] = 0.0;
        /// Seconds after which all layers restart; 0 for never.
        repeat_seconds: f64 [0.0, 600.0] = 0.0;
        /// Layers that mask the others: only pixels with ink in the mask are drawn. Without a mask, all are drawn.
        mask: Vec<Layer> = Vec::new();
    }
}

/// Groups within groups.
const DEEPEST: u32 = 4;

impl ReadField for Vec<Layer> {
    const FORM: &'static str = "a list of layers";
    type Usual = Self;

    fn read(node: &Node, _: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        if context.depth >= DEEPEST {
            let message = format!("groups are nested more than {DEEPEST} levels deep");
            findings.push(Finding::error(node.span, message).hint("move its layers to the group around it"));
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
    fn tracks(&mut self, visit: &mut dyn FnMut(&mut Track)) {
        self.iter_mut().for_each(|layer| layer.tracks(visit));
    }
}
