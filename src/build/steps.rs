//! Progress of a build, for those who show it.

/// Follows a build; its methods are called from several threads.
pub trait Steps: Sync {
    /// A stage begins; its name is a few words such as "drawing frames".
    fn stage(&self, name: &'static str);
    /// One more of `all` parts of the stage is done.
    fn done(&self, all: usize);
}

/// Follows nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct Silent;

impl Steps for Silent {
    fn stage(&self, _: &'static str) {}
    fn done(&self, _: usize) {}
}
