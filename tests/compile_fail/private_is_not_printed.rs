//! A private value cannot be formatted into a page or a message.

use daywork::model::Private;

fn main() {
    let contact = Private::new(String::from("Odo Brannick"));
    let _ = format!("Told {contact}.");
}
