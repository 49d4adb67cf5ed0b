//! `glost open` as a browser and a program meet it: the real binary, its real locks.

mod api;
mod bench;
mod bodies;
mod doors;
mod faults;
mod forms;
mod locks;
mod pages;
mod phones;
mod tiles;
