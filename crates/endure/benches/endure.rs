//! How quick the stores engine is.

fn main() {
    divan::main();
}
