//! The window.

use std::{
    fmt,
    path::PathBuf,
    sync::{Arc, Mutex, PoisonError},
    time::Instant,
};

use bevy::{
    log::LogPlugin,
    prelude::*,
    render::{
        RenderPlugin,
        error_handler::{ErrorType, RenderError, RenderErrorHandler, RenderErrorPolicy},
        settings::RenderCreation,
    },
    window::{PresentMode, WindowResolution},
    winit::WinitSettings,
};
use bevy_egui::{EguiPlugin, EguiPrimaryContextPass};

use super::{
    Choice, DialogPlugin, DuskPlugin, FramesPlugin, HandsPlugin, LogicPlugins, OnePicturePlugin, PacePlugin,
    PanelPlugin, Panels, Patience, PicturePlugins, PicturesPlugin, PlacesPlugin, SchoolPlugin, Study, Workbench,
    WorkbenchPlugin,
    adapter::{modern, quietly},
    adapter_available, display_available,
    eye::Gait,
    sea::{HELD, Waves},
    thrift::spare,
};
use crate::{boat::Scene, edit::Document, teach::lesson::Lesson};

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
    /// Keep the window as this picture when all is there, the waves held, and close.
    pub picture: Option<PathBuf>,
    /// The lesson to begin with.
    pub lesson: Option<Arc<Lesson>>,
}

impl WindowOptions {
    /// A window of 1280 by 720 on a scene.
    pub fn of(scene: Arc<Scene>) -> Self {
        Self { scene, choice: None, size: (1280, 720), document: None, measure: None, picture: None, lesson: None }
    }
}

/// Why there is no window.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WindowError {
    NoDisplay,
    NoAdapter,
    NoFit,
    /// The window closed for this reason.
    Broke(String),
}

impl WindowError {
    /// Whether there is nothing to open a window on or draw it with.
    pub fn is_of_the_machine(&self) -> bool {
        matches!(self, Self::NoDisplay | Self::NoAdapter)
    }
}

impl fmt::Display for WindowError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::Broke(why) => why,
            Self::NoDisplay => "there is no display to open a window on (DISPLAY is not set, or nothing answers there)",
            Self::NoAdapter => "there is no graphics adapter to draw with (no Vulkan driver was found)",
            Self::NoFit => "the scene has no fit to show",
        })
    }
}

impl std::error::Error for WindowError {}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// When there is no display, no graphics adapter, or nothing to show.
pub fn window(options: WindowOptions) -> Result<(), WindowError> {
    let mut app = window_app(options)?;
    let fate = app.world().resource::<Fate>().clone();
    if app.run().is_error() { Err(WindowError::Broke(fate.why())) } else { Ok(()) }
}

/// Why the window closes, if not because the user wished it to: told when it has.
#[derive(Resource, Clone, Debug, Default)]
pub struct Fate(Arc<Mutex<Option<String>>>);

impl Fate {
    /// Notes why the window closes; the first reason stays. Gives what ends the app.
    pub fn closes(&self, why: String) -> AppExit {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).get_or_insert(why);
        AppExit::error()
    }

    /// The reason.
    pub fn why(&self) -> String {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner).clone();
        known.unwrap_or_else(|| "the window closed on an error".into())
    }
}

/// What becomes of the window when the graphics adapter fails it, as when it is taken out or its driver starts anew: what
/// is not saved is kept safe, and the window closes with a sentence. Nothing is drawn any more.
pub fn on_render_error(error: &RenderError, world: &mut World, _renderer: &mut World) -> RenderErrorPolicy {
    let what = match error.ty {
        ErrorType::DeviceLost => "the graphics adapter was lost",
        ErrorType::OutOfMemory => "the graphics adapter has no memory left",
        ErrorType::Validation | ErrorType::Internal => "the graphics adapter failed",
    };
    let because = error.description.lines().map(str::trim).find(|line| !line.is_empty());
    let because = because.map_or_else(String::new, |line| format!(" ({line})"));
    let kept = world.get_resource_mut::<Workbench>().map_or("", |mut bench| {
        match (bench.document().holds_work(), bench.keep_safe()) {
            (false, _) => "",
            (true, Ok(())) => "; what was not saved is offered when the scene is opened again",
            (true, Err(_)) => "; what was not saved could not be kept",
        }
    });
    let exit = world.get_resource_or_init::<Fate>().closes(format!("{what}, so the window closed{because}{kept}"));
    world.write_message(exit);
    RenderErrorPolicy::StopRendering
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
    let plugins = spare(DefaultPlugins.build())
        .set(WindowPlugin {
            primary_window: Some(Window {
                title: "lampwalk".into(),
                name: Some("lampwalk".into()),
                resolution: WindowResolution::new(width, height),
                // A screen's own pace is no measure.
                present_mode: if options.measure.is_some() { PresentMode::AutoNoVsync } else { PresentMode::AutoVsync },
                ..default()
            }),
            // What is not saved is asked about first.
            close_when_requested: options.document.is_none(),
            ..default()
        })
        .set(RenderPlugin { render_creation: RenderCreation::Automatic(Box::new(modern())), ..default() })
        // What the first two have to say is told in sentences of our own.
        .set(LogPlugin { filter: "error,bevy_render::error_handler=off,rfd=off".into(), ..default() });
    let choice = options.choice.unwrap_or_else(|| Choice::opening(&options.scene));
    // Whether anything answers at the display is found only by asking for its events, and no answer is a panic there.
    let mut app = quietly(|| {
        let mut app = App::new();
        // Letters and two or three pictures need no arrays of textures, which a processor that draws is slow to look into.
        let panels = EguiPlugin { bindless_mode_array_size: None };
        app.add_plugins((plugins, panels));
        app
    })
    .ok_or(WindowError::NoDisplay)?;
    // What runs panels wants to find its schedule even where they are left out.
    app.init_schedule(EguiPrimaryContextPass)
        .insert_resource(ClearColor(Color::BLACK))
        .init_resource::<Fate>()
        .insert_resource(RenderErrorHandler(on_render_error))
        .insert_resource(Patience::GoOn)
        .insert_resource(if options.picture.is_some() { Gait::Jump } else { Gait::Glide })
        .add_plugins((
            LogicPlugins::of(options.scene).choosing(choice),
            PicturePlugins,
            HandsPlugin,
            SchoolPlugin::of_a_window(),
            PanelPlugin,
            DuskPlugin,
        ));
    if let Some(document) = options.document {
        let bench = Workbench::new(document);
        bench.note_opened();
        app.insert_resource(bench).add_plugins((WorkbenchPlugin, DialogPlugin, PicturesPlugin, PlacesPlugin));
    }
    if let Some(lesson) = options.lesson {
        app.world_mut().write_message(Study::Begin(lesson));
    }
    match (options.measure, options.picture) {
        (Some((count, started)), _) => {
            app.insert_resource(WinitSettings::continuous()).add_plugins(FramesPlugin { count, started })
        }
        (None, Some(path)) => app
            .insert_resource(WinitSettings::continuous())
            .insert_resource(Waves::Held(HELD))
            .insert_resource(Panels::after_the_first_hint())
            .add_plugins(OnePicturePlugin { path }),
        (None, None) => app.insert_resource(Panels::of_a_window()).add_plugins(PacePlugin),
    };
    Ok(app)
}
