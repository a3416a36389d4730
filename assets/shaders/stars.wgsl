// Stars stand at no distance: only the way the camera looks moves them. Their size is in pixels.
#import bevy_pbr::{forward_io::{Vertex, VertexOutput}, mesh_view_bindings::view}

@vertex
fn vertex(in: Vertex) -> VertexOutput {
    var out: VertexOutput;
    var clip = view.clip_from_world * vec4(in.position, 0.0);
    let across = in.uv * in.color.a * 2.0 / view.viewport.zw;
    clip = vec4(clip.xy + across * clip.w, 0.0, clip.w);
    out.position = clip;
    out.world_position = vec4(in.position, 1.0);
    out.world_normal = vec3(0.0, 1.0, 0.0);
    out.uv = in.uv;
    out.color = in.color;
    return out;
}

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    let glow = exp(-3.0 * dot(in.uv, in.uv));
    return vec4(in.color.rgb * glow, 0.0);
}
