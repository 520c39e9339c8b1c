// Who comes in and how: other devices by a passphrase, a phone by a picture, over TLS; and what happens when the server goes away.
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { networkInterfaces, tmpdir } from "node:os";
import { join } from "node:path";
import { test as base, expect, type Page } from "@playwright/test";
import { examples, serve } from "./shop";

/** An address of this machine that is not loopback: whoever comes by it is another device to the server. */
const outside = Object.values(networkInterfaces()).flat().find((a) => a && !a.internal && a.family === "IPv4")?.address;

const test = base.extend<{ folder: string }>({
  folder: async ({}, use) => {
    const folder = mkdtempSync(join(tmpdir(), "winnow-door-"));
    copyFileSync(join(examples, "carport.yaml"), join(folder, "shop.yaml"));
    await use(folder);
    rmSync(folder, { recursive: true, force: true });
  },
});
const text = (folder: string) => readFileSync(join(folder, "shop.yaml"), "utf8");
const settled = (page: Page) => expect(page.getByTestId("aside")).toHaveAttribute("data-settled", "true", { timeout: 20_000 });

test("another device says the passphrase first, and is told when it is wrong", async ({ page, folder }) => {
  test.skip(!outside, "this machine has no address but its own");
  const door = await serve(folder, ["shop.yaml", "--addr", "0.0.0.0:0", "--passphrase"], "four dry pine boards\n");
  const port = new URL(door.address).port;
  await page.setViewportSize({ width: 390, height: 700 });
  await page.goto(`http://${outside}:${port}/`);
  const field = page.getByLabel("This shop is kept under a passphrase.");
  await expect(field).toBeFocused();
  if (process.env.PICTURES) await page.screenshot({ path: new URL("../test-results/passphrase.png", import.meta.url).pathname });
  await field.fill("four wet pine boards");
  await page.keyboard.press("Enter");
  await expect(page.getByRole("alert")).toContainText("not it");
  await expect(field).toHaveAttribute("aria-invalid", "true");
  await field.fill("four dry pine boards");
  await page.keyboard.press("Enter");
  await settled(page);
  // and what is changed elsewhere is followed here, too: the stream of changes was refused before
  await page.getByTestId("run planer").click();
  await page.getByTestId("machine planer").focus();
  await page.keyboard.press("r");
  await expect.poll(() => text(folder)).toMatch(/planer:[^]*?facing: 270°|planer:[^]*?facing: 90°/);
  // the shop's own computer is not asked
  const home = await page.context().newPage();
  await home.goto(door.address);
  await settled(home);
  await home.locator("summary", { hasText: "Settings" }).click();
  await home.getByTestId("phone").click();
  const dialog = home.getByTestId("phone dialog");
  // only an address of a private network is one a phone can come by
  if (/on other devices: /.test(door.out())) {
    await expect(home.getByTestId("phone picture")).toBeVisible();
    await expect.poll(() => home.getByTestId("phone picture").evaluate((i: HTMLImageElement) => i.naturalWidth)).toBeGreaterThan(50);
  } else await expect(dialog).toContainText("winnow serve shop.yaml --addr 0.0.0.0:8420 --passphrase");
  await dialog.getByRole("button", { name: "Close" }).click();
  await door.stop();
});

test("a passphrase lets other devices in from the page, without starting anew", async ({ page, folder }) => {
  const door = await serve(folder, ["shop.yaml", "--addr", "127.0.0.1:0"]);
  await page.goto(door.address);
  await settled(page);
  await page.locator("summary", { hasText: "Settings" }).click();
  await page.getByTestId("phone").click();
  const dialog = page.getByTestId("phone dialog");
  await expect(dialog).toContainText("open to this computer alone");
  await page.getByTestId("phone passphrase").fill("short");
  await page.getByTestId("let in").click();
  await expect(dialog).toContainText("open to this computer alone"); // too short: nothing was opened
  await page.getByTestId("phone passphrase").fill("plane oak wren mill");
  await page.getByTestId("let in").click();
  // a machine without a private address says why none can come in; with one, the address stands there
  await expect(dialog.getByRole("alert").or(dialog.locator(".address")).first()).toBeVisible();
  if (await dialog.locator(".address").count()) {
    await page.getByTestId("keep out").click();
    await expect(dialog).toContainText("open to this computer alone");
    await expect(page.getByTestId("keep out")).not.toBeAttached();
  }
  await door.stop();
});

test("a phone's camera sees the address", async ({ page, folder }) => {
  const door = await serve(folder, ["shop.yaml", "--addr", "127.0.0.1:0"]);
  // the server draws it where the machine has a private address (its own tests read it); here one is put in its place
  const drawn = Buffer.from("iVBORw0KGgoAAAANSUhEUgAAAAIAAAACAQMAAABIeJ9nAAAABlBMVEX///8AAABVwtN+AAAADElEQVQI12NoYGAAAAGEAIFNU6x3AAAAAElFTkSuQmCC", "base64");
  await page.route("**/api/phone.png", (r) => r.fulfill({ contentType: "image/png", body: drawn }));
  await page.goto(door.address);
  await settled(page);
  await page.locator("summary", { hasText: "Settings" }).click();
  await page.getByTestId("phone").click();
  await expect(page.getByTestId("phone picture")).toBeVisible();
  await expect(page.getByTestId("phone picture")).toHaveAttribute("alt", /address of this page/);
  await door.stop();
});

test.describe("over TLS", () => {
  test.use({ ignoreHTTPSErrors: true });
  test("the page and its stream of changes come over https", async ({ page, folder }) => {
    try {
      execFileSync("openssl", ["req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-keyout", "key.pem", "-out", "cert.pem", "-days", "2",
        "-subj", "/CN=localhost", "-addext", "subjectAltName=IP:127.0.0.1"], { cwd: folder, stdio: "ignore" });
    } catch {
      test.skip(true, "openssl is missing: no certificate can be made");
    }
    const door = await serve(folder, ["shop.yaml", "--addr", "127.0.0.1:0", "--tls-cert", "cert.pem", "--tls-key", "key.pem"]);
    expect(door.address).toMatch(/^https:/);
    await page.goto(door.address);
    await settled(page);
    const other = await page.context().newPage();
    await other.goto(door.address);
    await settled(other);
    await page.getByTestId("machine jointer").focus();
    await page.keyboard.press("r");
    await expect(other.getByTestId("undo")).toBeEnabled(); // it has heard of it
    await door.stop();
  });
});

test("the server is started anew: the page says so, comes back by itself, and undo still knows", async ({ page, folder }) => {
  const before = text(folder);
  let door = await serve(folder, ["shop.yaml", "--addr", "127.0.0.1:0"]);
  const port = new URL(door.address).port;
  await page.goto(door.address);
  await settled(page);
  await page.getByTestId("machine jointer").focus();
  await page.keyboard.press("r");
  await expect.poll(() => text(folder)).not.toBe(before);
  await door.stop();
  await expect(page.getByText("The server does not answer")).toBeVisible({ timeout: 15_000 });
  door = await serve(folder, ["shop.yaml", "--addr", `127.0.0.1:${port}`]);
  await expect(page.getByText("The server does not answer")).not.toBeVisible({ timeout: 20_000 });
  await page.getByTestId("undo").click();
  await expect.poll(() => text(folder)).toBe(before);
  await door.stop();
});
