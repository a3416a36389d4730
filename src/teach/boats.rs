//! The invented boats that lessons and drill are built in with, by name.
//!
//! The same files that stand in `scenes`, without the one that needs a mesh beside it. Must never change them.

use std::sync::{Arc, LazyLock};

use crate::boat::{Scene, read::scene_text};

const TEXTS: [(&str, &str); 4] = [
    ("curlew", include_str!("../../scenes/curlew.ron")),
    ("harrier", include_str!("../../scenes/harrier.ron")),
    ("marigold", include_str!("../../scenes/marigold.ron")),
    ("sandpiper", include_str!("../../scenes/sandpiper.ron")),
];

/// Their names.
pub const BOATS: [&str; 4] = [TEXTS[0].0, TEXTS[1].0, TEXTS[2].0, TEXTS[3].0];

static SCENES: LazyLock<Vec<Arc<Scene>>> = LazyLock::new(|| {
    let read = |(name, text): &(&str, &str)| match scene_text(text, name, None) {
        Ok(read) => Arc::new(read.scene),
        // A test has read them.
        Err(error) => panic!("a built-in boat: {error}"),
    };
    TEXTS.iter().map(read).collect()
});

/// A built-in boat by its name, in capitals or not.
pub fn boat(name: &str) -> Option<Arc<Scene>> {
    let at = BOATS.iter().position(|known| known.eq_ignore_ascii_case(name.trim()))?;
    SCENES.get(at).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_built_in_boat_is_sound_and_goes_by_her_name() {
        for name in BOATS {
            assert!(boat(name).is_some_and(|scene| scene.name.eq_ignore_ascii_case(name)));
        }
        assert!(boat("ark").is_none());
    }
}
