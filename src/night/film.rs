//! A turn round the boat as moving pictures: numbered pictures in a folder, and one animated picture made of them.
//!
//! Takes a scene and its first shot; gives PNG files. A folder remembers what its pictures were drawn from, so that a
//! film that was interrupted goes on where it stopped, and never mixes two films. Every picture is a [`still`](super::still)
//! of its own shot: must never draw anything by itself.

use std::{
    fmt::{self, Write},
    fs,
    hash::{DefaultHasher, Hasher},
    io::{self, BufWriter, Cursor},
    path::{Path, PathBuf},
    sync::Arc,
};

use image::{ImageFormat, RgbaImage};
use png::{BitDepth, ColorType, Compression, Encoder, Filter};

use super::{Shot, StillError, still::each_still};
use crate::{boat::Scene, measure::Bearing, whole_file};

/// A turn of the eye round the boat, from the bearing of its first shot clockwise back to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    pub first: Shot,
    /// Width and height in pixels, as for a [`still`](super::still).
    pub size: (u32, u32),
    /// How many pictures the turn takes, 2 or more.
    pub pictures: u32,
    /// Pictures in a second, 1 or more.
    pub rate: u16,
}

impl Film {
    /// The shots of its pictures, in order. The waves run on from one to the next.
    pub fn shots(&self) -> Vec<Shot> {
        let shot = |number: u32| {
            let turned = 360.0 * f64::from(number) / f64::from(self.pictures);
            let bearing = Bearing::new(self.first.bearing.degrees() + turned);
            let waves = self.first.waves + number as f32 / f32::from(self.rate);
            Shot { bearing, waves, ..self.first.clone() }
        };
        (0..self.pictures).map(shot).collect()
    }

    /// All that its pictures depend on, in so many words that two films have the same only if they are the same.
    fn recipe(&self, scene: &Scene) -> String {
        let mut digest = Digest(DefaultHasher::new());
        // Writing into a digest cannot fail.
        let _ = write!(digest, "{scene:?}");
        let version = env!("CARGO_PKG_VERSION");
        format!("lampwalk {version}, pictures of a film\nscene {:016x}\n{self:?}\n", digest.0.finish())
    }
}

/// Hashes what is written to it.
struct Digest(DefaultHasher);

impl Write for Digest {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0.write(text.as_bytes());
        Ok(())
    }
}

/// Why there is no film.
#[derive(Debug)]
pub enum FilmError {
    Still(StillError),
    /// The folder holds something else.
    Taken(PathBuf),
    /// This file or folder cannot be read or written.
    File(PathBuf, io::Error),
}

impl From<StillError> for FilmError {
    fn from(error: StillError) -> Self {
        Self::Still(error)
    }
}

impl fmt::Display for FilmError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Still(error) => error.fmt(out),
            Self::Taken(folder) => write!(
                out,
                "{} holds something other than the pictures of this film; name another folder, or empty it",
                folder.display()
            ),
            Self::File(path, error) => write!(out, "{} cannot be read or written: {error}", path.display()),
        }
    }
}

impl std::error::Error for FilmError {}

/// The folder in which the pictures of a film lie, `0001.png` first.
#[derive(Clone, Debug)]
pub struct Reel {
    folder: PathBuf,
    film: Film,
}

/// Says in the folder which film its pictures are of.
const RECIPE: &str = "film.txt";

impl Reel {
    /// A folder for a film; it is made if need be. One that was begun for the same film keeps what it holds.
    ///
    /// # Errors
    /// When the folder holds something else, or cannot be made or written.
    pub fn open(folder: &Path, film: Film, scene: &Scene) -> Result<Self, FilmError> {
        let failed = |error| FilmError::File(folder.into(), error);
        let recipe = film.recipe(scene);
        fs::create_dir_all(folder).map_err(failed)?;
        let label = folder.join(RECIPE);
        let begun = fs::read_to_string(&label).is_ok_and(|found| found == recipe);
        if !begun {
            if fs::read_dir(folder).map_err(failed)?.next().is_some() {
                return Err(FilmError::Taken(folder.into()));
            }
            whole_file::write(&label, recipe.as_bytes(), None).map_err(|error| FilmError::File(label, error))?;
        }
        Ok(Self { folder: folder.into(), film })
    }

    fn picture(&self, index: usize) -> PathBuf {
        self.folder.join(format!("{:04}.png", index + 1))
    }

    /// Indices of the pictures that are not there yet.
    pub fn missing(&self) -> Vec<usize> {
        (0..self.film.pictures as usize).filter(|index| !self.picture(*index).is_file()).collect()
    }

    /// Draws what is missing, and tells after each picture.
    ///
    /// # Errors
    /// When a picture cannot be drawn or written; those before it stay.
    pub fn draw(&self, scene: &Arc<Scene>, mut tell: impl FnMut()) -> Result<(), FilmError> {
        let missing = self.missing();
        let all = self.film.shots();
        let shots: Vec<Shot> = missing.iter().map(|index| all[*index].clone()).collect();
        each_still(scene, self.film.size, &shots, |nth, picture| {
            let path = self.picture(missing[nth]);
            keep(&path, &picture).map_err(|error| FilmError::File(path, error))?;
            tell();
            Ok(())
        })
    }

    /// Joins the pictures into one animated PNG that goes round for ever. Programs that know no animation show the first.
    ///
    /// # Errors
    /// When a picture is missing or cannot be read, or the file cannot be written.
    pub fn join(&self, path: &Path) -> Result<(), FilmError> {
        let mut bytes = Vec::new();
        self.animate(&mut bytes)?;
        whole_file::write(path, &bytes, None).map_err(|error| FilmError::File(path.into(), error))
    }

    fn animate(&self, bytes: &mut Vec<u8>) -> Result<(), FilmError> {
        let unwritten = |error: png::EncodingError| FilmError::File(self.folder.clone(), io::Error::other(error));
        let (width, height) = self.film.size;
        let mut encoder = Encoder::new(BufWriter::new(bytes), width, height);
        encoder.set_color(ColorType::Rgb);
        encoder.set_depth(BitDepth::Eight);
        encoder.set_compression(Compression::Balanced);
        encoder.set_filter(Filter::Adaptive);
        encoder.set_animated(self.film.pictures, 0).map_err(unwritten)?;
        encoder.set_frame_delay(1, self.film.rate).map_err(unwritten)?;
        let mut writer = encoder.write_header().map_err(unwritten)?;
        for index in 0..self.film.pictures as usize {
            let path = self.picture(index);
            let picture = image::open(&path).map_err(|error| FilmError::File(path, io::Error::other(error)))?;
            writer.write_image_data(picture.to_rgb8().as_raw()).map_err(unwritten)?;
        }
        writer.finish().map_err(unwritten)
    }

    /// Takes the pictures and their folder away. What else was put there meanwhile stays, and the folder with it.
    ///
    /// # Errors
    /// When something of it cannot be taken away.
    pub fn discard(self) -> Result<(), FilmError> {
        let pictures = (0..self.film.pictures as usize).map(|index| self.picture(index));
        for path in pictures.chain([self.folder.join(RECIPE)]) {
            fs::remove_file(&path).map_err(|error| FilmError::File(path, error))?;
        }
        match fs::remove_dir(&self.folder) {
            Err(error) if error.kind() != io::ErrorKind::DirectoryNotEmpty => Err(FilmError::File(self.folder, error)),
            _ => Ok(()),
        }
    }
}

fn keep(path: &Path, picture: &RgbaImage) -> io::Result<()> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Png).map_err(io::Error::other)?;
    whole_file::write(path, bytes.get_ref(), None)
}
