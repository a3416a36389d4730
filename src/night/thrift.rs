//! Leaves out what the engine would do in every frame for scenes far larger than a boat.
//!
//! A handful of lamps and a few hundred meshes are sorted and made ready by the processor sooner than the graphics
//! adapter could be asked to, above all where a processor plays the adapter's part. Must never change what is drawn.

use bevy::{
    app::PluginGroupBuilder,
    light::cluster::{ClusterConfig, GlobalClusterSettings},
    pbr::PbrPlugin,
    prelude::*,
    render::{
        RenderApp, RenderStartup,
        batching::gpu_preprocessing::{GpuPreprocessingMode, GpuPreprocessingSupport},
        init_gpu_resource,
    },
};

/// The engine's plugins without what the night has no use for: no picture of depth beforehand, no deferred light.
pub(super) fn spare(engine: PluginGroupBuilder) -> PluginGroupBuilder {
    engine.set(PbrPlugin {
        prepass_enabled: false,
        add_default_deferred_lighting_plugin: false,
        use_gpu_instance_buffer_builder: false,
        ..default()
    })
}

/// For a camera: all lamps light all of the picture, so that none need be sorted into parts of it.
pub(super) fn plain_view() -> ClusterConfig {
    ClusterConfig::Single
}

/// Has lamps sorted and meshes made ready by the processor.
pub struct ThriftPlugin;

impl Plugin for ThriftPlugin {
    fn build(&self, app: &mut App) {
        if let Some(renderer) = app.get_sub_app_mut(RenderApp) {
            // An engine told to make meshes ready by itself draws none that are opaque, unless it believes that the
            // adapter cannot help. It finds out anew whenever an adapter was lost.
            renderer.add_systems(RenderStartup, alone.after(init_gpu_resource::<GpuPreprocessingSupport>));
        }
    }

    fn finish(&self, app: &mut App) {
        if let Some(mut settings) = app.world_mut().get_resource_mut::<GlobalClusterSettings>() {
            settings.gpu_clustering = None;
        }
    }
}

fn alone(mut support: ResMut<GpuPreprocessingSupport>) {
    support.max_supported_mode = GpuPreprocessingMode::None;
}
