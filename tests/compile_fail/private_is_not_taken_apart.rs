//! The inside of a private value is reached by its one method and no other way.

use daywork::model::Private;

fn main() {
    let Private(name) = Private::new(String::from("Odo Brannick"));
    let _: String = Private::new(name).into();
}
