import { mount } from 'svelte';
import App from './App.svelte';
import './style/fonts.css';
import './style/tokens.css';
import './style/base.css';

mount(App, { target: document.getElementById('app')! });
