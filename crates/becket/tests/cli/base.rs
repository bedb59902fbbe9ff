//! A base kept in a file: the server as a process, backups beside it, a way in for somebody who lost theirs.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use super::{becket, err, out, refused};

struct Running {
    child: Child,
    address: String,
    begin: Option<String>,
}

/// Starts the server on a free port and waits until it says where it listens.
fn serve(keep: &Path) -> Running {
    let mut child = Command::new(env!("CARGO_BIN_EXE_becket"))
        .args(["serve", "--listen", "127.0.0.1:0", "--keep"])
        .arg(keep)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut begin = None;
    for line in BufReader::new(child.stdout.take().unwrap()).lines() {
        let line = line.unwrap();
        if line.contains("/begin?code=") {
            begin = Some(line.trim().to_owned());
        }
        if let Some(rest) = line.strip_prefix("Open http://") {
            let address = rest.split('/').next().unwrap().to_owned();
            return Running { child, address, begin };
        }
    }
    panic!("it ended: {}", err(&child.wait_with_output().unwrap()));
}

fn get(address: &str, path: &str) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    write!(stream, "GET {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n").unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    answer
}

/// Stops it as a service manager does; gives back what it logged.
fn stop(mut running: Running) -> String {
    let killed = Command::new("kill").arg(running.child.id().to_string()).status().unwrap();
    assert!(killed.success());
    let mut log = String::new();
    running.child.stderr.take().unwrap().read_to_string(&mut log).unwrap();
    assert!(running.child.wait().unwrap().success(), "it ends well: {log}");
    log
}

fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn text(path: &Path) -> &str {
    path.to_str().expect("the folder's name is plain")
}

#[test]
fn a_base_begins_is_backed_up_while_it_runs_stops_in_good_order_and_comes_back() {
    let folder = folder("base");
    let (keep, copy, lines) = (folder.join("base.db"), folder.join("copy.db"), folder.join("copy.jsonl"));
    let running = serve(&keep);
    let begin = running.begin.clone().expect("a base without people says how to begin");
    let path = begin.split_once(&running.address).expect("it is where it listens").1.to_owned();
    assert!(get(&running.address, &path).contains("The first manager"));
    assert!(get(&running.address, "/people").starts_with("HTTP/1.1 303"), "nobody is let in");
    assert!(get(&running.address, "/health").contains("the store answers"));
    let invited =
        becket(&["invite", "Ina", "--keep", text(&keep), "--at", &format!("http://{}", running.address)]);
    let welcome = out(&invited);
    let welcome = welcome.split_once(&running.address).expect("an address").1.trim().to_owned();
    assert!(get(&running.address, &welcome).contains("Welcome, Ina"));
    for (to, how) in [(&copy, &[][..]), (&lines, &["--portable"])] {
        let made = becket(&[&["backup", text(to), "--keep", text(&keep)], how].concat());
        assert!(made.status.success(), "{}", err(&made));
    }
    assert!(
        refused(&["backup", text(&copy), "--keep", text(&keep)]).contains("copy.db"),
        "none is overwritten"
    );
    let log = stop(running);
    let secret = path.split_once("code=").unwrap().1;
    assert!(!log.contains(secret) && !log.contains("Ina"), "a log has no secrets and no names: {log}");
    let routes: Vec<serde_json::Value> =
        log.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    let seen = |route: &str, status: u16| {
        routes.iter().any(|line| line["route"] == route && line["status"] == status)
    };
    assert!(seen("/begin", 200) && seen("/people", 303) && seen("/welcome/{id}/{token}", 200), "{log}");
    for from in [&copy, &lines] {
        let fresh = folder.join(format!("{}.back", text(from.file_name().map(Path::new).unwrap())));
        let back = becket(&["restore", text(from), "--keep", text(&fresh)]);
        assert!(back.status.success(), "{}", err(&back));
        assert!(
            refused(&["restore", text(from), "--keep", text(&fresh)]).contains(text(&fresh)),
            "not into a full one"
        );
        let again = serve(&fresh);
        assert!(again.begin.is_none(), "Ina is there");
        assert!(get(&again.address, &welcome).contains("Welcome, Ina"));
        stop(again);
    }
}

#[test]
fn a_demonstration_stays_on_this_computer() {
    let said = refused(&["demo", "--listen", "0.0.0.0:0"]);
    assert!(said.contains("this computer only") && said.contains("becket serve"), "{said}");
}

#[test]
fn a_zone_and_a_place_that_do_not_exist_are_told() {
    assert!(refused(&["serve", "--zone", "Atlantis/Port"]).contains("America/New_York"));
    assert!(refused(&["serve", "--keep", "mysql://x"]).contains("mysql"));
    let nowhere = folder("nowhere").join("missing").join("base.db");
    let failed = becket(&["serve", "--listen", "127.0.0.1:0", "--keep", text(&nowhere)]);
    assert_eq!(failed.status.code(), Some(2));
    assert!(err(&failed).contains("base.db"), "{}", err(&failed));
}
