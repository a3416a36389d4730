// A light as an eye sees it. Alpha of the vertex colour tells which of its parts a place is in: 0 the veil, which adds
// light, worked out ring by ring beforehand; 1 the core, which covers what is behind it so that its colour stays pure.
#import bevy_pbr::forward_io::{Vertex, VertexOutput}

// Places come as places on the picture already.
@vertex
fn vertex(in: Vertex) -> VertexOutput {
    var out: VertexOutput;
    out.position = vec4(in.position.xy, 0.5, 1.0);
    out.world_position = vec4(0.0, 0.0, 0.0, 1.0);
    out.world_normal = vec3(0.0, 1.0, 0.0);
    out.uv = in.uv;
    out.color = in.color;
    return out;
}

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    if in.color.a < 0.5 {
        return in.color;
    }
    let body = 1.0 - smoothstep(0.45, 1.0, length(in.uv));
    return vec4(in.color.rgb * body, body);
}
