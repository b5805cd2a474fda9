//! A private value does not turn into `&str` by itself.

use daywork::model::Private;

fn takes_text(_: &str) {}

fn main() {
    let name = Private::new(String::from("Odo Brannick"));
    takes_text(&name);
}
