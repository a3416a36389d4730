//! Night red: the picture and its panels in shades of red, for use aboard, where eyes must stay used to the dark.
//!
//! Takes the [`Choice`]; changes what is drawn last of all. While it is on, colours tell nothing: letters and shapes do.

use bevy::{
    asset::{load_internal_asset, uuid_handle},
    core_pipeline::fullscreen_material::{FullscreenMaterial, FullscreenMaterialPlugin},
    prelude::*,
    render::{extract_component::ExtractComponent, render_resource::ShaderType},
    shader::{Shader, ShaderRef},
};
use bevy_egui::{
    EguiPostUpdateSet, EguiRenderOutput,
    egui::{Color32, epaint::Primitive},
};

use super::{Choice, Steps};

const DUSK: Handle<Shader> = uuid_handle!("6f3a1f0e-8a42-4b61-9d51-2f8f5a0b7c05");

/// Turns everything red while it is chosen so. For a window with panels.
pub struct DuskPlugin;

impl Plugin for DuskPlugin {
    fn build(&self, app: &mut App) {
        load_internal_asset!(app, DUSK, "../../assets/shaders/dusk.wgsl", Shader::from_wgsl);
        app.add_plugins(FullscreenMaterialPlugin::<NightRed>::default())
            .add_systems(Update, follow.in_set(Steps::Draw))
            .add_systems(PostUpdate, redden_panels.after(EguiPostUpdateSet::ProcessOutput));
    }
}

/// On a camera: its picture is red.
#[derive(Component, ExtractComponent, ShaderType, Clone, Copy, Debug, Default)]
struct NightRed {
    /// All of its light times this.
    strength: f32,
}

impl FullscreenMaterial for NightRed {
    fn fragment_shader() -> ShaderRef {
        DUSK.into()
    }
}

fn follow(mut commands: Commands, choice: Res<Choice>, cameras: Query<(Entity, Has<NightRed>), With<Camera3d>>) {
    for (camera, red) in &cameras {
        if choice.red && !red {
            commands.entity(camera).insert(NightRed { strength: 1.0 });
        } else if !choice.red && red {
            commands.entity(camera).remove::<NightRed>();
        }
    }
}

/// As bright as the brightest of red, green and blue, so that no light goes out.
fn redden(colour: Color32) -> Color32 {
    let brightest = colour.r().max(colour.g()).max(colour.b());
    Color32::from_rgba_premultiplied(brightest, 0, 0, colour.a())
}

fn redden_panels(choice: Res<Choice>, mut outputs: Query<&mut EguiRenderOutput>) {
    if !choice.red {
        return;
    }
    for mut output in &mut outputs {
        for job in &mut output.paint_jobs {
            if let Primitive::Mesh(mesh) = &mut job.primitive {
                mesh.vertices.iter_mut().for_each(|vertex| vertex.color = redden(vertex.color));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn red_is_all_that_is_left_and_nothing_is_darker_than_its_brightest_share() {
        for colour in [Color32::from_rgb(10, 255, 60), Color32::from_rgb(200, 40, 30), Color32::WHITE, Color32::BLACK] {
            let red = redden(colour);
            assert_eq!((red.g(), red.b(), red.a()), (0, 0, 255));
            assert_eq!(red.r(), colour.r().max(colour.g()).max(colour.b()));
            assert_eq!(redden(red), red);
        }
    }
}
