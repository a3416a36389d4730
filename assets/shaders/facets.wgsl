// The boat's solids. Vertex colours hold the light they give off; an edge turned away takes a little of the sky.
#import bevy_pbr::{forward_io::VertexOutput, mesh_view_bindings::view}

struct Facets {
    rim: vec4<f32>,
    glow: vec4<f32>,
}

@group(#{MATERIAL_BIND_GROUP}) @binding(0) var<uniform> facets: Facets;
// Haze for each metre; the moon's strength; the shore's lights.
@group(#{MATERIAL_BIND_GROUP}) @binding(1) var<uniform> air: vec4<f32>;

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    if in.world_position.y < 0.0 {
        discard;
    }
    let sight = view.world_position - in.world_position.xyz;
    let toward = normalize(sight);
    let away = 1.0 - abs(dot(normalize(in.world_normal), toward));
    let colour = in.color.rgb + facets.rim.rgb * (away * away * away) + facets.glow.rgb;
    let thick = length(sight) * air.x;
    let clear = 1.0 / (1.0 + thick * (1.0 + 0.5 * thick));
    let haze = vec3(0.0104, 0.0166, 0.0308) * (0.35 + 0.65 * air.y) + vec3(0.016, 0.011, 0.006) * air.z;
    return vec4(mix(haze, colour, clear), 1.0);
}
