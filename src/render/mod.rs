//! Drawing: pictures of pixels and the layers of a scene evaluated at a frame; knows nothing of pages or buses.

mod bitmap;

pub use bitmap::Bitmap;
