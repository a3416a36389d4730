//! The built-in workboat, for the night's own tests.

use crate::boat::{Scene, read::scene_text};

/// The boat of `scenes/sandpiper.ron`.
pub fn scene() -> Scene {
    match scene_text(include_str!("../../scenes/sandpiper.ron"), "sandpiper", None) {
        Ok(read) => read.scene,
        Err(error) => panic!("{error}"),
    }
}
