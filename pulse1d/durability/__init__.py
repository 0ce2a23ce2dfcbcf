"""Durability screening: heat, strain, life and fasteners. Never a certificate."""
