//! Pictures that stand in for those the night draws: a dark sea, a hull, and a disc for each colour that shows. PNG of
//! four inks, written without compression, so that each takes the room that a real one does.

use lampwalk::{
    light::{Colour, Colours},
    sheet::show::{Media, Picture},
};

pub const SIZE: (u32, u32) = (320, 180);

/// Night, hull and sea alike dark; then red, green, white.
const INKS: [[u8; 3]; 4] = [[6, 10, 18], [255, 70, 60], [60, 230, 140], [250, 246, 230]];

pub fn picture(shows: Colours, turn: f64) -> Picture {
    Picture { media: Media::Png, bytes: png(&rows(shows, turn)) }
}

/// Two bits a point, each row led by a nought (no filter).
fn rows(shows: Colours, turn: f64) -> Vec<u8> {
    let (wide, high) = SIZE;
    let lights: Vec<(f64, f64, u8)> =
        shows.iter().enumerate().map(|(index, colour)| spot(index, colour, turn)).collect();
    let mut out = Vec::new();
    for y in 0..high {
        out.push(0);
        for four in 0..wide / 4 {
            let bits = (0..4).map(|n| ink(f64::from(four * 4 + n), f64::from(y), &lights));
            out.push(bits.fold(0, |byte, ink| byte << 2 | ink));
        }
    }
    out
}

fn spot(index: usize, colour: Colour, turn: f64) -> (f64, f64, u8) {
    let ink = match colour {
        Colour::Red => 1,
        Colour::Green => 2,
        _ => 3,
    };
    (160.0 + 40.0 * index as f64 * turn.to_radians().cos(), 90.0 - 14.0 * index as f64, ink)
}

fn ink(x: f64, y: f64, lights: &[(f64, f64, u8)]) -> u8 {
    let within = |(at, up, _): &&(f64, f64, u8)| (x - at).hypot(y - up) < 6.0;
    let gleam = |(at, _, _): &&(f64, f64, u8)| y > 122.0 && (x - at).abs() < 3.0 && (y * 7.0 + x * 3.0) % 11.0 < 3.0;
    lights.iter().find(within).or_else(|| lights.iter().find(gleam)).map_or(0, |light| light.2)
}

fn png(rows: &[u8]) -> Vec<u8> {
    let mut out = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut head = Vec::new();
    head.extend(SIZE.0.to_be_bytes());
    head.extend(SIZE.1.to_be_bytes());
    head.extend([2, 3, 0, 0, 0]);
    chunk(&mut out, b"IHDR", &head);
    chunk(&mut out, b"PLTE", &INKS.concat());
    chunk(&mut out, b"IDAT", &stored(rows));
    chunk(&mut out, b"IEND", &[]);
    out
}

fn chunk(out: &mut Vec<u8>, name: &[u8; 4], bytes: &[u8]) {
    let length = u32::try_from(bytes.len()).expect("a small picture");
    out.extend(length.to_be_bytes());
    let from = out.len();
    out.extend(name);
    out.extend(bytes);
    let sum = out[from..].iter().fold(!0u32, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| if sum & 1 == 1 { sum >> 1 ^ 0xedb8_8320 } else { sum >> 1 })
    });
    out.extend((!sum).to_be_bytes());
}

/// A zlib stream of stored blocks.
fn stored(bytes: &[u8]) -> Vec<u8> {
    let mut out = vec![0x78, 0x01];
    let blocks: Vec<&[u8]> = bytes.chunks(0xffff).collect();
    for (index, block) in blocks.iter().enumerate() {
        let length = u16::try_from(block.len()).expect("a block");
        out.push(u8::from(index + 1 == blocks.len()));
        out.extend(length.to_le_bytes());
        out.extend((!length).to_le_bytes());
        out.extend(*block);
    }
    let (low, high) = bytes.iter().fold((1u32, 0u32), |(low, high), byte| {
        let low = (low + u32::from(*byte)) % 65521;
        (low, (high + low) % 65521)
    });
    out.extend((high << 16 | low).to_be_bytes());
    out
}
