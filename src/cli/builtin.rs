//! The boat that comes with the program.

use std::path::Path;

use crate::boat::{
    Scene,
    read::{ReadError, scene_text},
};
#[cfg(feature = "night")]
use crate::edit::Document;

const TEXT: &str = include_str!("../../scenes/sandpiper.ron");

/// The built-in scene: the same file that stands in `scenes`.
///
/// # Errors
/// None in a program that was built from its own sources; a test reads it.
pub(super) fn scene() -> Result<Scene, ReadError> {
    let no_folder: Option<&Path> = None;
    scene_text(TEXT, "the built-in boat", no_folder).map(|read| read.scene)
}

/// The same, to be worked on; it lies in no file.
///
/// # Errors
/// As for [`scene`].
#[cfg(feature = "night")]
pub(super) fn document() -> Result<Document, ReadError> {
    Document::of_text(TEXT)
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_built_in_boat_is_sound_and_has_a_fit_that_fails_and_one_that_passes() {
        let scene = super::scene().unwrap_or_else(|error| panic!("{error}"));
        assert!(scene.fit("as found").is_some() && scene.fit("proposed").is_some());
    }
}
