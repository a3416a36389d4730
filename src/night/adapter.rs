//! Is there anything to draw with, and anything to draw on?

use std::{
    cell::Cell,
    panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook},
    sync::Once,
};

use bevy::{
    render::{
        renderer::initialize_renderer,
        settings::{Backends, RenderResources, WgpuSettings},
    },
    tasks::block_on,
};

/// A graphics adapter with its device, ready to draw without a window; `None` when there is none.
pub(super) fn open_adapter() -> Option<RenderResources> {
    [modern(), WgpuSettings::default()].into_iter().find_map(|settings| open(&settings))
}

/// Settings that leave out the old graphics interfaces, which look for displays they may not find and say so.
pub(super) fn modern() -> WgpuSettings {
    let backends = Backends::from_env().unwrap_or(Backends::PRIMARY);
    WgpuSettings { backends: Some(backends), ..WgpuSettings::default() }
}

fn open(settings: &WgpuSettings) -> Option<RenderResources> {
    let backends = settings.backends?;
    quietly(|| block_on(initialize_renderer(backends, None, settings)))
}

thread_local! {
    static QUIET: Cell<bool> = const { Cell::new(false) };
}

/// What a piece of work gives, or `None` when it panics, in which case nothing is printed: the renderer panics when it
/// finds no adapter, the window when it finds no display, and that is an answer here, not an accident. Other threads' panics are told as ever.
pub(super) fn quietly<T>(work: impl FnOnce() -> T) -> Option<T> {
    static LISTENING: Once = Once::new();
    LISTENING.call_once(|| {
        let talking = take_hook();
        set_hook(Box::new(move |panic| {
            if !QUIET.get() {
                talking(panic);
            }
        }));
    });
    QUIET.set(true);
    let outcome = catch_unwind(AssertUnwindSafe(work));
    QUIET.set(false);
    outcome.ok()
}

/// Whether a graphics adapter (hardware, or a software one such as Mesa's) can be opened.
pub fn adapter_available() -> bool {
    open_adapter().is_some()
}

/// Whether a window can be asked for: a display is named, on systems where displays have names.
pub fn display_available() -> bool {
    let named = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    // This build opens windows through X11 only, so a Wayland display counts only by its X server.
    !cfg!(all(unix, not(target_os = "macos"))) || named("DISPLAY")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_that_panics_gives_nothing_and_work_that_does_not_gives_its_result() {
        assert_eq!(quietly(|| 7), Some(7));
        assert_eq!(quietly(|| -> u8 { panic!("this must not be printed") }), None);
        assert!(!QUIET.get());
    }
}
