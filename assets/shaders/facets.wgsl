// The boat's solids. Vertex colours hold the light they give off; an edge turned away takes a little of the sky.
#import bevy_pbr::{forward_io::VertexOutput, mesh_view_bindings::view}

struct Facets {
    rim: vec4<f32>,
    glow: vec4<f32>,
}

@group(#{MATERIAL_BIND_GROUP}) @binding(0) var<uniform> facets: Facets;

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    if in.world_position.y < 0.0 {
        discard;
    }
    let toward = normalize(view.world_position - in.world_position.xyz);
    let away = 1.0 - abs(dot(normalize(in.world_normal), toward));
    return vec4(in.color.rgb + facets.rim.rgb * (away * away * away) + facets.glow.rgb, 1.0);
}
