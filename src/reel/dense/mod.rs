//! The dense profile: the player keeps a copy of the picture. Each frame is a series of decisions that decision trees predict.

mod assemble;
mod choices;
mod coder;
mod leaves;
mod predictor;
mod sampler;
mod scene_code;
mod sequence;
mod tree;
mod tree_code;

pub use assemble::{DenseReel, Model, assembled, compile_dense};
pub use choices::{Choices, FrameCanvas, choices};
pub use predictor::{Predictor, predictor};
pub use sequence::{Frame, FrameSequence, film_sequence, may_invert, sequence};
pub use tree_code::VisibleWindow;
