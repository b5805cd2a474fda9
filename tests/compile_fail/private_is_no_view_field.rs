//! A field of a public view takes plain text and nothing private.

use daywork::model::Private;
use daywork::public::view::Entry;

fn main() {
    let place = Private::new(String::from("Shed 3, Tarrow Slip"));
    let _ = Entry {
        title: place,
        link: String::new(),
        line: String::new(),
    };
}
