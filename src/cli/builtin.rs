//! The boat that comes with the program.

use std::path::Path;

use crate::boat::{
    Scene,
    read::{ReadError, scene_text},
};

/// The built-in scene: the same file that stands in `scenes`.
///
/// # Errors
/// None in a program that was built from its own sources; a test reads it.
pub(super) fn scene() -> Result<Scene, ReadError> {
    let no_folder: Option<&Path> = None;
    scene_text(include_str!("../../scenes/sandpiper.ron"), "the built-in boat", no_folder).map(|read| read.scene)
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_built_in_boat_is_sound_and_has_a_fit_that_fails_and_one_that_passes() {
        let scene = super::scene().unwrap_or_else(|error| panic!("{error}"));
        assert!(scene.fit("as found").is_some() && scene.fit("proposed").is_some());
    }
}
