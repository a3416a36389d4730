//! However many threads work at it, the bytes are the same.

use std::{path::Path, process::Command};

/// Standard output, and the drawings written into a folder of their own.
fn outputs(scene: &str, threads: u32) -> Vec<Vec<u8>> {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let drawing = folder.path().join("outlook.svg");
    let polar = folder.path().join("polar.svg");
    let output = Command::new(env!("CARGO_BIN_EXE_lampwalk"))
        .args(["survey", scene, "--json", "--step", "2", "--outlook"])
        .arg(&drawing)
        .arg("--svg")
        .arg(&polar)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .env("RAYON_NUM_THREADS", threads.to_string())
        .output()
        .expect("the program starts");
    let mut files: Vec<_> = std::fs::read_dir(folder.path())
        .expect("the scratch folder")
        .map(|file| file.expect("a file").path())
        .collect();
    files.sort();
    // Two drawings of each of two fits.
    assert_eq!(files.len(), 4, "{}", String::from_utf8_lossy(&output.stderr));
    assert!(output.stdout.len() > 1000);
    let drawings = files.iter().map(|file| std::fs::read(file).expect("a drawing"));
    std::iter::once(output.stdout).chain(drawings).collect()
}

#[test]
fn surveys_and_drawings_do_not_turn_on_the_number_of_threads() {
    for scene in ["scenes/sandpiper.ron", "scenes/marigold.ron", "scenes/harrier.ron", "scenes/petrel.ron"] {
        let alone = outputs(scene, 1);
        for threads in [2, 8] {
            // Not assert_eq, which would print all of both.
            assert!(alone == outputs(scene, threads), "{scene} with {threads} threads");
        }
    }
}
