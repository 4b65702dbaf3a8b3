"""Work that takes the kernel: proofs and files, each in a process of its own."""
