import { mount } from 'svelte'
import App from './App.svelte'
import { begin } from './lib/theme.svelte'
import './tokens.css'
import './app.css'

begin()
const target = document.getElementById('page')
if (target) mount(App, { target })
