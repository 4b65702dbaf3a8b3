"""The block that guides a chisel along a mitred shoulder."""
