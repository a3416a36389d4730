//! Is there anything to draw with, and anything to draw on?

use std::panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook};

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
    // The renderer panics when it finds no adapter. That is an answer here, not an accident, so nothing is printed.
    let talking = take_hook();
    set_hook(Box::new(|_| {}));
    let opened = catch_unwind(AssertUnwindSafe(|| block_on(initialize_renderer(backends, None, settings))));
    set_hook(talking);
    opened.ok()
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
