//! The window.

use std::{fmt, sync::Arc, time::Instant};

use bevy::{
    log::LogPlugin,
    prelude::*,
    render::{RenderPlugin, settings::RenderCreation},
    window::{PresentMode, WindowResolution},
    winit::WinitSettings,
};
use bevy_egui::{EguiPlugin, EguiPrimaryContextPass};

use super::{
    Choice, DuskPlugin, FramesPlugin, HandsPlugin, LogicPlugins, PacePlugin, PanelPlugin, Panels, Patience,
    PicturePlugins, Workbench, WorkbenchPlugin,
    adapter::{modern, quietly},
    adapter_available, display_available,
    eye::Gait,
};
use crate::{boat::Scene, edit::Document};

/// What to open the window with.
#[derive(Debug)]
pub struct WindowOptions {
    /// Must have at least one fit.
    pub scene: Arc<Scene>,
    /// What is chosen when it opens; `None` for [`Choice::opening`].
    pub choice: Option<Choice>,
    /// Width and height, logical pixels.
    pub size: (u32, u32),
    /// The file that is worked on; its scene is the one that is shown. `None`: the scene can only be looked at.
    pub document: Option<Document>,
    /// Measure so many frames since a start, and close.
    pub measure: Option<(u32, Instant)>,
}

impl WindowOptions {
    /// A window of 1280 by 720 on a scene.
    pub fn of(scene: Arc<Scene>) -> Self {
        Self { scene, choice: None, size: (1280, 720), document: None, measure: None }
    }
}

/// Why there is no window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WindowError {
    NoDisplay,
    NoAdapter,
    NoFit,
    /// The window closed on an error of its own.
    Broke,
}

impl fmt::Display for WindowError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::NoDisplay => "there is no display to open a window on (DISPLAY is not set, or nothing answers there)",
            Self::NoAdapter => "there is no graphics adapter to draw with (no Vulkan driver was found)",
            Self::NoFit => "the scene has no fit to show",
            Self::Broke => "the window closed on an error",
        })
    }
}

impl std::error::Error for WindowError {}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// When there is no display, no graphics adapter, or nothing to show.
pub fn window(options: WindowOptions) -> Result<(), WindowError> {
    if window_app(options)?.run().is_error() { Err(WindowError::Broke) } else { Ok(()) }
}

/// The window's app, ready to run, for those who add to it.
///
/// # Errors
/// As for [`window`].
pub fn window_app(options: WindowOptions) -> Result<App, WindowError> {
    if options.scene.fits.is_empty() {
        return Err(WindowError::NoFit);
    }
    if !display_available() {
        return Err(WindowError::NoDisplay);
    }
    if !adapter_available() {
        return Err(WindowError::NoAdapter);
    }
    let (width, height) = options.size;
    let plugins = DefaultPlugins
        .set(WindowPlugin {
            primary_window: Some(Window {
                title: "lampwalk".into(),
                name: Some("lampwalk".into()),
                resolution: WindowResolution::new(width, height),
                // A screen's own pace is no measure.
                present_mode: if options.measure.is_some() { PresentMode::AutoNoVsync } else { PresentMode::AutoVsync },
                ..default()
            }),
            ..default()
        })
        .set(RenderPlugin { render_creation: RenderCreation::Automatic(Box::new(modern())), ..default() })
        .set(LogPlugin { filter: "error".into(), ..default() });
    let choice = options.choice.unwrap_or_else(|| Choice::opening(&options.scene));
    // Whether anything answers at the display is found only by asking for its events, and no answer is a panic there.
    let mut app = quietly(|| {
        let mut app = App::new();
        app.add_plugins((plugins, EguiPlugin::default()));
        app
    })
    .ok_or(WindowError::NoDisplay)?;
    // What runs panels wants to find its schedule even where they are left out.
    app.init_schedule(EguiPrimaryContextPass)
        .insert_resource(ClearColor(Color::BLACK))
        .insert_resource(Patience::GoOn)
        .insert_resource(Gait::Glide)
        .add_plugins((
            LogicPlugins::of(options.scene).choosing(choice),
            PicturePlugins,
            HandsPlugin,
            PanelPlugin,
            DuskPlugin,
        ));
    if let Some(document) = options.document {
        app.insert_resource(Workbench::new(document)).add_plugins(WorkbenchPlugin);
    }
    if options.measure.is_none() {
        app.insert_resource(Panels::of_a_window());
    }
    match options.measure {
        Some((count, started)) => {
            app.insert_resource(WinitSettings::continuous()).add_plugins(FramesPlugin { count, started })
        }
        None => app.add_plugins(PacePlugin),
    };
    Ok(app)
}
