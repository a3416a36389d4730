//! What becomes of the user's file: saved whole, the version before kept, nothing lost when it cannot be written, when
//! others change it, or when the program ends before its time.

use std::{
    fs,
    path::{Path, PathBuf},
    time::Duration,
};

use lampwalk::{
    boat::read::scene_file,
    edit::{Document, EVERY, Edit, Figure, Outside, Recovery, SaveError, Subject, offered, previous_of},
};

const BOAT: &str = r#"// Kept.
Scene(name: "Skiff",
    vessel: Vessel(length: 5, beam: 1.9, freeboard: 0.5, depth: 0.8, propulsion: Power, top_speed: 6), // hers
    fits: [Fit(name: "as found")],
)
"#;

struct Harbour {
    folder: tempfile::TempDir,
    path: PathBuf,
}

impl Harbour {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder can be made");
        let path = folder.path().join("boat.ron");
        fs::write(&path, BOAT).expect("the folder can be written");
        Self { folder, path }
    }

    fn open(&self) -> Document {
        Document::open(&self.path).expect("the scene is sound")
    }

    fn read(&self) -> String {
        fs::read_to_string(&self.path).expect("the file can be read")
    }

    fn state(&self) -> PathBuf {
        self.folder.path().join("state")
    }

    /// Names of all files, in order.
    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder.path()).expect("the folder can be read");
        let mut names: Vec<_> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

fn beam(to: f64) -> Edit {
    Edit::Set { what: Subject::Scene, figure: Figure::Beam, to }
}

fn with_beam(words: &str) -> String {
    BOAT.replace("beam: 1.9", &format!("beam: {words}"))
}

fn seconds(count: u64) -> Duration {
    Duration::from_secs(count)
}

#[test]
fn saving_writes_the_file_and_keeps_the_version_before_beside_it() {
    let harbour = Harbour::new();
    let mut document = harbour.open();
    assert!(!document.is_changed());
    document.apply(beam(2.0)).unwrap();
    assert!(document.is_changed());
    assert_eq!(harbour.read(), BOAT, "nothing is written before it is saved");
    document.save().unwrap();
    assert!(!document.is_changed());
    assert_eq!(harbour.read(), with_beam("2"));
    assert_eq!(fs::read_to_string(harbour.folder.path().join("boat.ron~")).unwrap(), BOAT);
    assert_eq!(previous_of(&harbour.path), fs::canonicalize(&harbour.path).unwrap().with_file_name("boat.ron~"));
    assert_eq!(scene_file(&harbour.path).unwrap().scene, **document.scene());
    document.undo().unwrap();
    assert!(document.is_changed(), "what was saved can still be undone");
    document.redo().unwrap();
    assert!(!document.is_changed());
    assert_eq!(harbour.names(), ["boat.ron", "boat.ron~"]);
}

#[test]
fn saving_what_is_not_changed_touches_nothing() {
    let harbour = Harbour::new();
    let mut document = harbour.open();
    document.apply(beam(2.0)).unwrap();
    document.undo().unwrap();
    document.save().unwrap();
    assert_eq!(harbour.names(), ["boat.ron"]);
}

#[test]
fn a_byte_order_mark_and_line_ends_are_saved_as_they_were() {
    let harbour = Harbour::new();
    let text = format!("\u{feff}{}", BOAT.replace('\n', "\r\n"));
    fs::write(&harbour.path, &text).unwrap();
    let mut document = harbour.open();
    assert!(!document.is_changed());
    document.apply(beam(2.0)).unwrap();
    document.save().unwrap();
    assert_eq!(harbour.read(), text.replace("beam: 1.9", "beam: 2"));
}

#[cfg(unix)]
#[test]
fn a_link_is_followed_and_permissions_are_kept() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let harbour = Harbour::new();
    fs::set_permissions(&harbour.path, fs::Permissions::from_mode(0o640)).unwrap();
    let folder = harbour.folder.path().join("links");
    fs::create_dir(&folder).unwrap();
    let link = folder.join("link.ron");
    symlink("../boat.ron", &link).unwrap();
    let mut document = Document::open(&link).unwrap();
    document.apply(beam(2.0)).unwrap();
    document.save().unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink(), "the link is still one");
    assert_eq!(harbour.read(), with_beam("2"));
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&harbour.path), 0o640);
    assert_eq!(mode(&harbour.folder.path().join("boat.ron~")), 0o640);
}

/// Tries to save; gives the sentence, and holds that nothing was lost.
fn failed(document: &mut Document) -> String {
    let text = document.text().to_owned();
    let error = document.save().expect_err("it cannot be saved");
    assert!(matches!(error, SaveError::Failed(_)), "{error:?}");
    assert!(document.is_changed());
    assert_eq!(document.text(), text);
    let words = error.to_string();
    assert!(words.starts_with("Nothing was saved") && words.ends_with('.') && !words.contains('\n'), "{words}");
    words
}

#[cfg(unix)]
#[test]
fn a_file_or_folder_marked_as_not_to_be_written_is_left_alone() {
    use std::os::unix::fs::PermissionsExt;
    let harbour = Harbour::new();
    let mut document = harbour.open();
    document.apply(beam(2.0)).unwrap();
    for (path, closed, open) in [(harbour.path.as_path(), 0o444, 0o644), (harbour.folder.path(), 0o555, 0o755)] {
        fs::set_permissions(path, fs::Permissions::from_mode(closed)).unwrap();
        let words = failed(&mut document);
        fs::set_permissions(path, fs::Permissions::from_mode(open)).unwrap();
        assert!(words.contains("not permitted"), "{words}");
        assert_eq!((harbour.read().as_str(), harbour.names()), (BOAT, vec!["boat.ron".to_owned()]));
    }
    document.save().unwrap();
    assert_eq!(harbour.read(), with_beam("2"));
}

#[test]
fn a_folder_that_has_gone_is_said_so_and_the_work_goes_elsewhere() {
    let harbour = Harbour::new();
    let folder = harbour.folder.path().join("gone");
    fs::create_dir(&folder).unwrap();
    let path = folder.join("boat.ron");
    fs::write(&path, BOAT).unwrap();
    let mut document = Document::open(&path).unwrap();
    document.apply(beam(2.0)).unwrap();
    fs::remove_dir_all(&folder).unwrap();
    let words = failed(&mut document);
    assert!(words.contains("not there any more") && words.contains("save under another name"), "{words}");
    let elsewhere = harbour.folder.path().join("saved.ron");
    document.save_as(&elsewhere).unwrap();
    assert_eq!(document.path(), Some(elsewhere.as_path()));
    assert_eq!(fs::read_to_string(&elsewhere).unwrap(), with_beam("2"));
}

#[test]
fn a_version_before_that_cannot_be_kept_stops_the_save() {
    let harbour = Harbour::new();
    fs::create_dir(harbour.folder.path().join("boat.ron~")).unwrap();
    let mut document = harbour.open();
    document.apply(beam(2.0)).unwrap();
    let words = failed(&mut document);
    assert!(words.contains("version before"), "{words}");
    assert_eq!(harbour.read(), BOAT);
}

#[test]
fn a_file_that_was_taken_away_is_written_again() {
    let harbour = Harbour::new();
    let mut document = harbour.open();
    fs::remove_file(&harbour.path).unwrap();
    assert!(matches!(document.look_outside(), Outside::Gone));
    assert!(matches!(document.look_outside(), Outside::Unchanged), "it is told once");
    document.apply(beam(2.0)).unwrap();
    document.save().unwrap();
    assert_eq!(harbour.names(), ["boat.ron"]);
}

#[test]
fn a_scene_that_names_files_goes_only_where_they_are() {
    let harbour = Harbour::new();
    let scenes = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
    let mut document = Document::open(&scenes.join("petrel.ron")).unwrap();
    let path = harbour.folder.path().join("petrel.ron");
    let error = document.save_as(&path).expect_err("the mesh is not there").to_string();
    assert!(error.contains("petrel.glb"), "{error}");
    assert!(!path.exists());
    fs::copy(scenes.join("petrel.glb"), harbour.folder.path().join("petrel.glb")).unwrap();
    document.save_as(&path).unwrap();
    assert_eq!(fs::read(&path).unwrap(), fs::read(scenes.join("petrel.ron")).unwrap());
}

#[test]
fn a_scene_of_no_file_needs_a_name_first() {
    let harbour = Harbour::new();
    let mut document = Document::of_text(BOAT).unwrap();
    assert!(document.is_changed());
    assert!(matches!(document.save(), Err(SaveError::NoName)));
    assert!(matches!(document.look_outside(), Outside::Unchanged));
    fs::write(&harbour.path, "what was there").unwrap();
    document.save_as(&harbour.path).unwrap();
    assert!(!document.is_changed());
    assert_eq!(fs::read_to_string(harbour.folder.path().join("boat.ron~")).unwrap(), "what was there");
}

#[test]
fn a_file_changed_outside_is_taken_silently_when_nothing_is_unsaved() {
    let harbour = Harbour::new();
    let mut document = harbour.open();
    assert!(matches!(document.look_outside(), Outside::Unchanged));
    fs::write(&harbour.path, with_beam("1.85")).unwrap();
    assert!(matches!(document.look_outside(), Outside::Reloaded));
    assert_eq!((document.text(), document.is_changed()), (with_beam("1.85").as_str(), false));
    assert!((document.scene().vessel.beam.0 - 1.85).abs() < 1e-12);
    assert!(matches!(document.look_outside(), Outside::Unchanged));
    assert_eq!(document.undo().unwrap().as_deref(), Some("Reload from disk"));
    assert_eq!((document.text(), document.is_changed()), (BOAT, true));
}

#[test]
fn a_change_of_the_same_length_is_seen_too() {
    let harbour = Harbour::new();
    let mut document = harbour.open();
    for words in ["1.8", "1.7", "1.6"] {
        fs::write(&harbour.path, with_beam(words)).unwrap();
        assert!(matches!(document.look_outside(), Outside::Reloaded), "{words}");
    }
}

/// A document and a file that were both changed.
fn conflict(harbour: &Harbour) -> Document {
    let mut document = harbour.open();
    document.apply(beam(2.0)).unwrap();
    fs::write(&harbour.path, with_beam("1.8")).unwrap();
    document
}

#[test]
fn a_conflict_asks_once_and_saving_waits_for_the_answer() {
    let harbour = Harbour::new();
    let mut document = conflict(&harbour);
    assert!(matches!(document.save(), Err(SaveError::ChangedOutside)), "seen even when nobody looked");
    assert!(document.differs_outside());
    let harbour = Harbour::new();
    let mut document = conflict(&harbour);
    assert!(matches!(document.look_outside(), Outside::Conflict));
    assert!(matches!(document.look_outside(), Outside::Unchanged));
    assert!(document.differs_outside());
    assert!(matches!(document.save(), Err(SaveError::ChangedOutside)));
    assert_eq!(document.text(), with_beam("2"));
}

#[test]
fn mine_kept_overwrites_theirs_which_is_the_version_before() {
    let harbour = Harbour::new();
    let mut document = conflict(&harbour);
    assert!(matches!(document.look_outside(), Outside::Conflict));
    document.keep_mine();
    assert!(document.is_changed() && !document.differs_outside());
    document.save().unwrap();
    assert_eq!(harbour.read(), with_beam("2"));
    assert_eq!(fs::read_to_string(harbour.folder.path().join("boat.ron~")).unwrap(), with_beam("1.8"));
}

#[test]
fn theirs_taken_can_be_undone() {
    let harbour = Harbour::new();
    let mut document = conflict(&harbour);
    assert!(matches!(document.look_outside(), Outside::Conflict));
    document.take_theirs().unwrap();
    assert_eq!((document.text(), document.is_changed()), (with_beam("1.8").as_str(), false));
    document.undo().unwrap();
    assert_eq!(document.text(), with_beam("2"));
}

#[test]
fn both_kept_are_two_files() {
    let harbour = Harbour::new();
    let mut document = conflict(&harbour);
    assert!(matches!(document.look_outside(), Outside::Conflict));
    let mine = harbour.folder.path().join("mine.ron");
    document.save_as(&mine).unwrap();
    assert_eq!(harbour.read(), with_beam("1.8"));
    assert_eq!(fs::read_to_string(&mine).unwrap(), with_beam("2"));
    assert!(!document.is_changed() && !document.differs_outside());
    assert!(matches!(document.look_outside(), Outside::Unchanged));
}

#[test]
fn the_same_change_made_outside_is_no_conflict() {
    let harbour = Harbour::new();
    let mut document = harbour.open();
    document.apply(beam(2.0)).unwrap();
    fs::write(&harbour.path, with_beam("2")).unwrap();
    assert!(matches!(document.look_outside(), Outside::Unchanged));
    assert!(!document.is_changed());
}

#[test]
fn a_file_gone_bad_while_open_is_told_and_the_document_stays() {
    let harbour = Harbour::new();
    let mut document = harbour.open();
    for bad in [&b"Scene("[..], b"\xff\xfe"] {
        fs::write(&harbour.path, bad).unwrap();
        let Outside::Bad(error) = document.look_outside() else { panic!("the file is bad") };
        assert!(error.to_string().contains("boat.ron"), "{error}");
        assert!(matches!(document.look_outside(), Outside::Unchanged), "it is told once");
        assert_eq!(document.text(), BOAT);
        document.apply(beam(2.0)).unwrap();
        assert!(matches!(document.save(), Err(SaveError::ChangedOutside)));
        document.undo().unwrap();
    }
    fs::write(&harbour.path, with_beam("1.8")).unwrap();
    assert!(matches!(document.look_outside(), Outside::Reloaded), "mended, it is taken");
}

#[test]
fn nothing_is_reloaded_under_a_drag() {
    let harbour = Harbour::new();
    let mut document = harbour.open();
    document.begin_drag();
    fs::write(&harbour.path, with_beam("1.8")).unwrap();
    assert!(matches!(document.look_outside(), Outside::Unchanged));
    document.end_drag();
    assert!(matches!(document.look_outside(), Outside::Reloaded));
}

#[test]
fn unsaved_work_is_kept_every_ten_seconds_and_offered_after_a_crash() {
    let harbour = Harbour::new();
    let (path, beside) = (Some(harbour.path.as_path()), harbour.folder.path().join("boat.ron.recovery"));
    let mut document = harbour.open();
    let mut recovery = Recovery::new(path, None);
    recovery.tend(&document, seconds(100)).unwrap();
    assert!(!beside.exists(), "there is nothing to keep");
    document.apply(beam(2.0)).unwrap();
    recovery.tend(&document, seconds(101)).unwrap();
    assert_eq!(fs::read_to_string(&beside).unwrap(), with_beam("2"), "the first change is kept at once");
    document.apply(beam(2.1)).unwrap();
    recovery.tend(&document, seconds(101) + EVERY - Duration::from_millis(1)).unwrap();
    assert_eq!(fs::read_to_string(&beside).unwrap(), with_beam("2"));
    recovery.tend(&document, seconds(101) + EVERY).unwrap();
    assert_eq!(fs::read_to_string(&beside).unwrap(), with_beam("2.1"));
    assert!(!recovery.due(&document, seconds(900)), "what is kept already is not written again");
    assert_eq!(EVERY, seconds(10));

    // The program ends here without a word.
    drop((document, recovery));
    let mut document = harbour.open();
    let mut recovery = Recovery::new(path, None);
    let offer = offered(path, None).expect("unsaved work is offered");
    assert_eq!(offer.time, fs::metadata(&beside).unwrap().modified().unwrap());
    assert!(!offer.file_is_newer);
    offer.accept(&mut document).unwrap();
    recovery.take_over(&offer);
    assert_eq!((document.text(), document.is_changed()), (with_beam("2.1").as_str(), true));
    recovery.tend(&document, seconds(5)).unwrap();
    assert!(beside.exists());
    document.save().unwrap();
    recovery.tend(&document, seconds(6)).unwrap();
    assert_eq!(harbour.names(), ["boat.ron", "boat.ron~"]);
    assert!(offered(path, None).is_none());
}

#[test]
fn a_clean_close_leaves_nothing_and_so_does_undoing_all() {
    let harbour = Harbour::new();
    let path = Some(harbour.path.as_path());
    let mut document = harbour.open();
    let mut recovery = Recovery::new(path, None);
    document.apply(beam(2.0)).unwrap();
    recovery.tend(&document, seconds(0)).unwrap();
    assert_eq!(harbour.names().len(), 2);
    document.undo().unwrap();
    recovery.tend(&document, seconds(1)).unwrap();
    assert_eq!(harbour.names(), ["boat.ron"]);
    document.redo().unwrap();
    recovery.tend(&document, seconds(2)).unwrap();
    assert_eq!(harbour.names().len(), 2, "changed anew, it is kept at once");
    recovery.close();
    assert_eq!(harbour.names(), ["boat.ron"]);
}

#[test]
fn work_offered_and_not_decided_on_is_not_written_over() {
    let harbour = Harbour::new();
    let path = Some(harbour.path.as_path());
    fs::write(harbour.folder.path().join("boat.ron.recovery"), with_beam("2.2")).unwrap();
    let mut document = harbour.open();
    let mut recovery = Recovery::new(path, None);
    document.apply(beam(2.0)).unwrap();
    recovery.tend(&document, seconds(0)).unwrap();
    assert_eq!(fs::read_to_string(harbour.folder.path().join("boat.ron.recovery~")).unwrap(), with_beam("2.2"));
    assert_eq!(fs::read_to_string(harbour.folder.path().join("boat.ron.recovery")).unwrap(), with_beam("2"));
}

#[test]
fn an_offer_that_cannot_be_read_says_why_and_can_be_thrown_away() {
    let harbour = Harbour::new();
    let path = Some(harbour.path.as_path());
    let beside = harbour.folder.path().join("boat.ron.recovery");
    fs::write(&beside, "Scene(name: \"half").unwrap();
    let offer = offered(path, None).expect("there is something");
    assert!(offer.text.is_err());
    let mut document = harbour.open();
    assert!(offer.accept(&mut document).is_err());
    assert_eq!(document.text(), BOAT);
    offer.discard().unwrap();
    assert!(!beside.exists());
}

#[cfg(unix)]
#[test]
fn where_the_folder_cannot_be_written_the_state_folder_serves() {
    use std::os::unix::fs::PermissionsExt;
    let harbour = Harbour::new();
    let folder = harbour.folder.path().join("locked");
    fs::create_dir(&folder).unwrap();
    let path = folder.join("boat.ron");
    fs::write(&path, BOAT).unwrap();
    let state = harbour.state();
    let mut document = Document::open(&path).unwrap();
    document.apply(beam(2.0)).unwrap();
    let locked = |mode| fs::set_permissions(&folder, fs::Permissions::from_mode(mode)).unwrap();
    locked(0o555);
    let mut nowhere = Recovery::new(Some(&path), None);
    let words = nowhere.tend(&document, seconds(0)).expect_err("there is no place for it");
    let mut recovery = Recovery::new(Some(&path), Some(&state));
    recovery.tend(&document, seconds(0)).unwrap();
    locked(0o755);
    assert!(words.contains("not permitted") && words.ends_with('.'), "{words}");
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1);
    let offer = offered(Some(&path), Some(&state)).expect("unsaved work is offered");
    assert_eq!(offer.text.unwrap(), with_beam("2"));
    recovery.close();
    assert!(offered(Some(&path), Some(&state)).is_none());
}

#[test]
fn a_scene_of_no_file_is_kept_in_the_state_folder() {
    let harbour = Harbour::new();
    let state = harbour.state();
    let mut document = Document::of_text(BOAT).unwrap();
    let mut recovery = Recovery::new(None, Some(&state));
    recovery.tend(&document, seconds(0)).unwrap();
    assert!(offered(None, Some(&state)).is_none(), "nothing was done to it");
    document.apply(beam(2.0)).unwrap();
    recovery.tend(&document, seconds(1)).unwrap();
    assert_eq!(offered(None, Some(&state)).expect("it is offered").text.unwrap(), with_beam("2"));
    document.undo().unwrap();
    recovery.tend(&document, seconds(2)).unwrap();
    assert!(offered(None, Some(&state)).is_none(), "nothing is left of it");
}

#[test]
fn a_document_saved_under_another_name_is_kept_beside_that() {
    let harbour = Harbour::new();
    let mut document = harbour.open();
    let mut recovery = Recovery::new(document.path(), None);
    document.apply(beam(2.0)).unwrap();
    recovery.tend(&document, seconds(0)).unwrap();
    document.save_as(&harbour.folder.path().join("other.ron")).unwrap();
    document.apply(beam(2.1)).unwrap();
    recovery.tend(&document, seconds(1)).unwrap();
    assert_eq!(harbour.names(), ["boat.ron", "other.ron", "other.ron.recovery"]);
}

/// A disk of its own that is soon full, where one may be mounted.
#[cfg(target_os = "linux")]
struct SmallDisk(PathBuf);

#[cfg(target_os = "linux")]
impl SmallDisk {
    fn mounted_at(place: &Path) -> Option<Self> {
        fs::create_dir(place).unwrap();
        let mut mount = std::process::Command::new("mount");
        mount.args(["-t", "tmpfs", "-o", "size=64k", "tmpfs"]).arg(place).stderr(std::process::Stdio::null());
        mount.status().is_ok_and(|status| status.success()).then(|| Self(place.into()))
    }

    /// Leaves no room.
    fn fill(&self) {
        let full = (0..100).find(|n| fs::write(self.0.join(format!("filler {n}")), [0; 4096]).is_err());
        assert!(full.is_some(), "the disk is small");
    }
}

#[cfg(target_os = "linux")]
impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = std::process::Command::new("umount").arg(&self.0).status();
    }
}

#[test]
#[cfg(target_os = "linux")]
fn on_a_full_disk_nothing_is_saved_and_nothing_lost() {
    let harbour = Harbour::new();
    let state = harbour.state();
    let Some(disk) = SmallDisk::mounted_at(&harbour.folder.path().join("disk")) else {
        eprintln!("skipped: mounting a disk is not permitted here");
        return;
    };
    let path = disk.0.join("boat.ron");
    fs::write(&path, BOAT).unwrap();
    let mut document = Document::open(&path).unwrap();
    disk.fill();
    document.apply(beam(2.0)).unwrap();
    let why = document.save().unwrap_err().to_string();
    assert!(why.contains("there is no room left for") && why.ends_with('.') && !why.contains('\n'), "{why}");
    assert!(document.is_changed());
    assert_eq!(document.text(), with_beam("2"));
    assert_eq!(fs::read_to_string(&path).unwrap(), BOAT);
    let mut recovery = Recovery::new(document.path(), Some(&state));
    recovery.tend(&document, seconds(0)).unwrap();
    let offer = offered(Some(&path), Some(&state)).expect("it is kept elsewhere");
    assert_eq!(offer.text.unwrap(), with_beam("2"));
    document.save_as(&harbour.path).unwrap();
    assert_eq!(harbour.read(), with_beam("2"));
}
